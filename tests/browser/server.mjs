// A static file server for the bundle, on this machine only. It can be stopped and started again on the same port,
// which is the truest way to cut the network; it can serve another build, and break off in the middle of a file. Must never serve a file from outside its folder, and never answer a
// missing file with the page: a missing file is a fault that a test must see.

import { createServer } from "node:http";
import { readFile, stat } from "node:fs/promises";
import { extname, join, normalize, sep } from "node:path";

const TYPES = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".mjs": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".wasm": "application/wasm",
  ".json": "application/json",
  ".webmanifest": "application/manifest+json",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".ico": "image/x-icon",
  ".txt": "text/plain; charset=utf-8",
};

/**
 * Serves a folder.
 * @param {string} folder absolute path
 * @param {{port?: number, headers?: Record<string, string>}} [options] port 0 (the default) takes a free one
 * @returns {Promise<{origin: string, port: number, requests: {path: string, status: number}[],
 *   stop: () => Promise<void>, start: () => Promise<void>, use: (folder: string) => void,
 *   cut: (path: string, size: number) => number | undefined}>} `requests` grows with every answer; set `cut` to break a file off after
 *   so many bytes
 */
export async function serve(folder, { port = 0, headers = {} } = {}) {
  const requests = [];
  const sockets = new Set();
  const self = {};
  let server;

  const answer = async (request, response) => {
    const path = decodeURIComponent(new URL(request.url, "http://localhost").pathname);
    const reply = (status, type, body) => {
      requests.push({ path, status });
      response.writeHead(status, { "Content-Type": type, "Cache-Control": "no-cache", ...headers });
      response.end(request.method === "HEAD" ? undefined : body);
    };
    if (request.method !== "GET" && request.method !== "HEAD") {
      reply(405, TYPES[".txt"], "only GET and HEAD");
      return;
    }
    const file = normalize(join(folder, path.endsWith("/") ? `${path}index.html` : path));
    if (!file.startsWith(folder.endsWith(sep) ? folder : folder + sep)) {
      reply(403, TYPES[".txt"], "outside the folder");
      return;
    }
    try {
      if (!(await stat(file)).isFile()) throw new Error("not a file");
      const [type, bytes] = [TYPES[extname(file)] ?? "application/octet-stream", await readFile(file)];
      const most = self.cut(path, bytes.length);
      if (most === undefined || most >= bytes.length) {
        reply(200, type, bytes);
        return;
      }
      requests.push({ path, status: 0 });
      response.writeHead(200, { "Content-Type": type, "Content-Length": bytes.length, ...headers });
      response.write(bytes.subarray(0, most), () => request.socket.destroy());
    } catch {
      reply(404, TYPES[".txt"], `no such file: ${path}`);
    }
  };

  const start = () =>
    new Promise((resolve, reject) => {
      server = createServer((request, response) => {
        answer(request, response).catch((error) => {
          response.writeHead(500, { "Content-Type": TYPES[".txt"] });
          response.end(String(error));
        });
      });
      server.on("connection", (socket) => {
        sockets.add(socket);
        socket.on("close", () => sockets.delete(socket));
      });
      server.once("error", reject);
      server.listen(port, "127.0.0.1", () => {
        port = server.address().port;
        resolve();
      });
    });

  const stop = () =>
    new Promise((resolve) => {
      server.close(() => resolve());
      for (const socket of sockets) socket.destroy();
    });

  const use = (other) => {
    folder = other;
  };
  await start();
  // "localhost" is a secure context for a browser, so service workers and storage work as on https.
  Object.assign(self, { origin: `http://localhost:${port}`, port, requests, stop, start, use, cut: () => undefined });
  return self;
}
