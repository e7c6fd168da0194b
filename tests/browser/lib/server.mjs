// A small server of static files on a free port of this machine.
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join, normalize, sep } from "node:path";
import { brotliCompressSync } from "node:zlib"; // at its best quality, 11, unless told otherwise

const TYPES = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json",
  ".svg": "image/svg+xml",
  ".toml": "text/plain; charset=utf-8",
  ".txt": "text/plain; charset=utf-8",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
};

/**
 * Serves `folder` under `prefix` ("/" or "/some/where/"), and nothing outside of it.
 * `change(path, body)` may hand out something else in place of a file's body. With `packed` files go
 * out as brotli, packed once, as a static host keeps them. `headers` go out with every file.
 */
export async function serve(folder, { prefix = "/", change = (_path, body) => body, packed = false, headers = {} } = {}) {
  const kept = new Map();
  const pack = (path, body) => {
    if (!kept.has(path)) kept.set(path, brotliCompressSync(body));
    return kept.get(path);
  };
  const server = createServer(async (request, response) => {
    const { pathname } = new URL(request.url, "http://localhost");
    const below = pathname.startsWith(prefix) ? pathname.slice(prefix.length) || "index.html" : null;
    const path = below === null ? null : normalize(decodeURIComponent(below));
    if (path === null || path.startsWith("..") || path.startsWith(sep)) {
      response.writeHead(404).end();
      return;
    }
    try {
      const body = change(path, await readFile(join(folder, path)));
      const type = { "content-type": TYPES[extname(path)] ?? "application/octet-stream", ...headers };
      if (packed && /\bbr\b/.test(request.headers["accept-encoding"])) {
        response.writeHead(200, { ...type, "content-encoding": "br" });
        response.end(pack(path, body));
      } else {
        response.writeHead(200, type);
        response.end(body);
      }
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  return {
    url: `http://127.0.0.1:${server.address().port}${prefix}`,
    close: () => new Promise((resolve) => {
      server.close(resolve);
      server.closeAllConnections();
    }),
  };
}
