// A static web server for the site's tests: sends files, keeps nothing but what
// was asked of it, and packs nothing.
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import path from "node:path";

const kinds = {
  ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".wasm": "application/wasm", ".gz": "application/gzip", ".svg": "image/svg+xml",
  ".png": "image/png", ".woff2": "font/woff2", ".webmanifest": "application/manifest+json", ".txt": "text/plain",
};

/** Serves a folder; asked are the requests so far, bytes what was sent. Folder may be changed; hold keeps some files back until what it gives is called. Port 0 is any. */
export async function host(folder, port = 0) {
  const site = { folder, asked: [], bytes: 0 };
  let held = () => undefined;
  site.hold = (which) => {
    let letGo;
    const until = new Promise((done) => (letGo = done));
    held = (name) => (which(name) ? until : undefined);
    return letGo;
  };
  const server = createServer(async (request, response) => {
    const { pathname } = new URL(request.url, "http://x");
    site.asked.push({ method: request.method, url: request.url, length: Number(request.headers["content-length"] ?? 0) });
    await held(pathname);
    try {
      const name = path.join(site.folder, pathname.endsWith("/") ? `${pathname}index.html` : pathname);
      const data = await readFile(name);
      site.bytes += data.length;
      response.writeHead(200, { "Content-Type": kinds[path.extname(name)] ?? "application/octet-stream" }).end(data);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((done) => server.listen(port, "127.0.0.1", done));
  site.port = server.address().port;
  site.address = `http://127.0.0.1:${site.port}/`;
  site.stop = () => (server.closeAllConnections(), new Promise((done) => server.close(done)));
  return site;
}
