// In place of what a page from a server loads: the programs stand in this page, and their glue above.
(() => {
  const packed = (id) => document.getElementById(id).textContent;
  const unpack = (text) => {
    const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Response(stream, { headers: { "content-type": "application/wasm" } });
  };

  globalThis.nudgeproofEmbedded = () => ({ run: nudgeproofGlue(), program: unpack(packed("program")) });

  // A worker has its program in its own script: from disk it cannot fetch one.
  const worker = `"use strict";
    const unpack = ${unpack};
    (${nudgeproofWorker})()({ module_or_path: unpack("${packed("worker-program")}") });`;
  const address = URL.createObjectURL(new Blob([worker], { type: "text/javascript" }));
  document.querySelector("meta[name=worker]").content = address;
})();
