// Two receivers over one PostgreSQL and one folder: an upload begun at one goes on at the other; a wait for the lock of writers that ended in nothing,
// and a database that was away, leave a receiver that writes; the access log takes what anybody asks and has an end; the end of a receiver is 0.
import { execFileSync, spawn } from "node:child_process";
import crypto from "node:crypto";
import fs from "node:fs";
import http from "node:http";
import net from "node:net";
import { Shop, Tablet, check, ended, request, sha256, sleep } from "./client.mjs";
import { postgres } from "./postgres.mjs";

const pg = postgres();
const sql = (text) => execFileSync("psql", ["-XAtq", pg.db, "-c", text], { encoding: "utf8" }).trim();
let a = await new Shop({ db: pg.db }).start();
const first = await a.first();
const b = await new Shop({ db: pg.db, dir: a.dir }).start();
const t = new Tablet(a.url);
await t.enrol(first);
await t.session();
const v = { "tus-resumable": "1.0.0" };
const create = (shop, sha, length) => request(`${shop.url}/v1/uploads`, { method: "POST", body: "", headers: { ...v, authorization: `Bearer ${t.token}`, "upload-length": String(length), "upload-metadata": `sha256 ${Buffer.from(sha).toString("base64")}` } });
const head = (shop, url) => request(shop.url + url, { method: "HEAD", headers: v });
const patch = (shop, url, at, bytes) => request(shop.url + url, { method: "PATCH", body: bytes, headers: { ...v, "upload-offset": String(at), "content-type": "application/offset+octet-stream" } });

{ // One upload at two receivers.
  const bytes = crypto.randomBytes(600000), sha = sha256(bytes).toString("hex");
  const url = (await create(a, sha, bytes.length)).headers.location;
  check("begun at one, known to the other", (await head(b, url)).headers["upload-offset"] === "0");
  check("begun again at the other it is the same", (await create(b, sha, bytes.length)).headers.location === url);
  check("bytes to one", (await patch(a, url, 0, bytes.subarray(0, 200000))).status === 204);
  check("the other tells how far it came", (await head(b, url)).headers["upload-offset"] === "200000");
  // A connection to the one that holds it: the other can't hang it up, and says so.
  const held = net.connect(a.port, "127.0.0.1");
  held.on("error", () => {});
  held.write(`PATCH ${url} HTTP/1.1\r\nhost: x\r\ntus-resumable: 1.0.0\r\nupload-offset: 200000\r\ncontent-type: application/offset+octet-stream\r\ncontent-length: 400000\r\n\r\n`);
  held.write(bytes.subarray(200000, 500000));
  await sleep(500);
  check("held at one, it is busy at the other", (await head(b, url)).status === 423);
  held.destroy();
  let r;
  for (let i = 0; i < 40; ++i) if ((r = await head(b, url)).status === 200) break; else await sleep(50);
  check("what came before the break counts", r.headers["upload-offset"] === "500000", r.headers["upload-offset"]);
  check("the rest to the other", (await patch(b, url, 500000, bytes.subarray(500000))).status === 204);
  check("both know that it is whole", (await head(a, url)).headers["upload-offset"] === "600000" && (await head(b, url)).headers["upload-offset"] === "600000");
  check("the blob is there", (await t.call(`/v1/blobs/${sha}`, { method: "HEAD" })).headers["content-length"] === "600000");
}
{ // The example of a front sends all of an upload to one receiver.
  const text = fs.readFileSync(new URL("../../platform/packaging/shop/nginx.conf", import.meta.url), "utf8").replace(/^\s*#.*$/gm, "");
  const upstream = /location \/v1\/uploads \{[^}]*proxy_pass http:\/\/(\w+);/.exec(text)?.[1];
  const servers = new RegExp(`upstream ${upstream} \\{([^}]*)\\}`).exec(text)?.[1].match(/\bserver /g);
  check("uploads have one fixed receiver behind the front", servers?.length === 1, upstream);
}
{ // Somebody stands still with the lock; the wait is ended as its timeout would end it.
  const line = [t.entry("j", "note", { text: "1" })];
  const holder = spawn("psql", ["-XAtq", pg.db], { stdio: ["pipe", "pipe", "ignore"] });
  holder.stdin.write("begin; select pg_advisory_xact_lock(7240251), 'held';\n");
  await new Promise((done) => holder.stdout.once("data", done));
  let told;
  const tried = t.push(1, line).then((r) => { told = r; });
  for (let i = 0; i < 200 && !told; ++i) { sql("select pg_cancel_backend(pid) from pg_locks where locktype='advisory' and not granted"); await sleep(50); }
  await tried;
  check("a wait that ended: 503", told.status === 503, told.status);
  holder.stdin.end("commit;\n");
  await new Promise((done) => holder.on("exit", done));
  const r = await t.push(1, line);
  check("with the lock free the next is stored", r.status === 200, `${r.status} ${r.body}`);
}
{ // A database that comes back: nothing is called gone.
  const some = (n) => Promise.all(Array.from({ length: n }, () => create(a, crypto.randomBytes(32).toString("hex"), 5)));
  await some(12);
  pg.restart();
  const seen = (await some(8)).map((r) => r.status);
  check("an upload is 503 while the database can't be asked", seen.every((s) => s === 201 || s === 503), seen.join());
}
{ // The access log.
  for (let i = 0; i < 100 && (await t.call("/v1/heads")).status !== 200; ++i) await sleep(100);
  const rows = (where) => Number(sql(`select count(*) from access_log where ${where}`));
  const day = 86_400_000, now = Date.now();
  sql(`insert into access_log select ${now - 10 * day} + n, '-', '192.0.2.1', 'GET /shop/noise', 404 from generate_series(1, 100500) n`);
  sql(`insert into access_log select ${now - 20 * day} + n, 'abcdef01', '192.0.2.2', 'GET /shop/people', 200 from generate_series(1, 300) n`);
  sql(`insert into access_log select ${now - 91 * day} + n, 'abcdef01', '192.0.2.2', 'GET /shop/old', 200 from generate_series(1, 50) n`);
  await a.kill("SIGTERM");
  a = await new Shop({ db: pg.db, dir: a.dir, port: a.port }).start();
  const odd = ["/shop/%ff", `/shop/${"x".repeat(125)}%c3%a9`, `/shop/${"%e2%82%ac".repeat(60)}`];
  for (let i = 0; i < 5; ++i) await request(`${a.url}/shop/people`, { headers: { cookie: `shop=${"f".repeat(64)}` } });
  for (const path of odd) await request(a.url + path);
  check("SIGTERM: 0", (await a.kill("SIGTERM")) === 0);
  check("what is no UTF-8 takes no other row along", rows("peer='127.0.0.1' and what='GET /shop/people'") >= 5 && rows("what like 'GET /shop/x%'") === 1 && rows("what like 'GET /shop/€%'") === 1, sql("select what, count(*) from access_log group by 1"));
  check("a cookie that nobody here was given is nobody's", rows("peer='127.0.0.1' and account<>'-'") === 0);
  check("strangers' rows end", rows("account='-'") <= 100_010 && rows("account='-'") >= 99_990, rows("account='-'"));
  check("and push nobody else's out", rows("what='GET /shop/people' and peer='192.0.2.2'") === 300);
  check("after 90 days a row is gone", rows("what='GET /shop/old'") === 0);
}
{ // The end, with connections that stand: idle, with half a request and with an upload under way.
  const agent = new http.Agent({ keepAlive: true });
  await Promise.all(Array.from({ length: 5 }, () => request(`${b.url}/healthz`, { agent })));
  const url = (await create(b, crypto.randomBytes(32).toString("hex"), 1 << 20)).headers.location;
  for (const text of ["GET / HTTP/1.1\r\nhos", `PATCH ${url} HTTP/1.1\r\nhost: x\r\ntus-resumable: 1.0.0\r\nupload-offset: 0\r\ncontent-type: application/offset+octet-stream\r\ncontent-length: 1048576\r\n\r\n${"x".repeat(600000)}`])
    net.connect(b.port, "127.0.0.1", function () { this.write(text); }).on("error", () => {});
  await sleep(300);
  const code = await b.kill("SIGTERM");
  check("SIGTERM with connections that stand: 0", code === 0, code);
}
ended();
