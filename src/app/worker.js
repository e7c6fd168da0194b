// Runs the program in a worker. The page hands it the address of the glue and the compiled program; once it
// runs, the program itself hears what the page asks.
"use strict";
addEventListener("message", async ({ data: { glue, program } }) => {
  const { default: run } = await import(glue);
  await run({ module_or_path: program });
}, { once: true });
