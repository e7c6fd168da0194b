// What `make dist` has packed.
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { unzipSync } from "fflate";
import { ROOT } from "./cases.mjs";

export const PACKED = `${ROOT}packed/`;

/** A packed file as a text. */
export const text = (path) => readFileSync(PACKED + path, "utf8");

/** The files of a packed archive, each with its bytes. */
export const unzipped = (name) => unzipSync(readFileSync(PACKED + name));

/** The headers that a server's settings tell it to send, as nginx has them. */
export const serverHeaders = () =>
  Object.fromEntries([...text("servers/nginx.conf").matchAll(/^add_header (\S+) (?:"([^"]+)"|([^$\s]+)) always;/gm)]
    .map(([, name, quoted, plain]) => [name, quoted ?? plain]));

/** The checksum of a file as a page names it. */
export const integrity = (bytes) => `sha384-${createHash("sha384").update(bytes).digest("base64")}`;
