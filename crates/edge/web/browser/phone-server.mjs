// Gives out a folder of static files, as any host would, and can be taken off the network.
import { createServer } from "node:http";
import { readFileSync } from "node:fs";
import { extname, join, normalize } from "node:path";

const KINDS = {
  ".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml", ".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8",
  ".wasm": "application/wasm", ".png": "image/png", ".webmanifest": "application/manifest+json",
};

export class Host {
  constructor(folder, port) {
    Object.assign(this, { folder, port, url: `http://127.0.0.1:${port}`, server: null, asked: [] });
  }

  on() {
    this.server = createServer((request, response) => {
      const path = normalize(new URL(request.url, this.url).pathname);
      this.asked.push(path);
      try {
        const bytes = readFileSync(join(this.folder, path === "/" ? "index.html" : path));
        response.writeHead(200, { "Content-Type": KINDS[extname(path) || ".html"] ?? "application/octet-stream" });
        response.end(bytes);
      } catch {
        response.writeHead(404);
        response.end("nothing here");
      }
    });
    return new Promise((done) => this.server.listen(this.port, "127.0.0.1", done));
  }

  // Airplane mode: nobody answers any more, also on connections that are open.
  off() {
    this.server.closeAllConnections();
    return new Promise((done) => this.server.close(done));
  }
}
