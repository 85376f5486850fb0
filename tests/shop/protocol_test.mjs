// Enrolment, session, heads, push, pull, forks, gaps, limits, revocation, restart: against the real process, by a client written from PROTOCOL.md.
import http from "node:http";
import net from "node:net";
import { Shop, Tablet, check, digest, ended, request, sha256 } from "./client.mjs";

const shop = await new Shop({ db: process.env.CHOCKSIDE_DB }).start();
const first = await shop.first();
const a = new Tablet(shop.url), b = new Tablet(shop.url);
check("no session", (await a.call("/v1/heads")).status === 401);
check("enrol", (await a.enrol(first, "tablet 4")).status === 200);
check("enrol again, same key", (await a.enrol(first, "tablet 4")).status === 200);
check("code used by another", (await b.enrol(first)).status === 409);
check("unknown code", (await b.enrol({ ...first, code: "0".repeat(32) })).status === 410);
check("session", (await a.session()).status === 200);
let r = await a.call("/v1/heads");
check("digest of an answer", r.headers["content-digest"] === digest(r.body));
check("empty head", JSON.parse(r.body).heads[a.author][0] === 0);
const lines = [1, 2, 3, 4].map((n) => a.entry("job-1", n === 1 ? "opened" : "note", { text: `entry ${n}`, tail: "Q4-TLN", complaint: "HDG 2 flags after rain" }));
r = await a.push(3, lines.slice(2, 4));
check("gap", r.status === 409 && JSON.parse(r.body).code === "gap" && JSON.parse(r.body).head[0] === 0, r.body.toString());
r = await a.push(1, lines.slice(0, 2));
const told = JSON.parse(r.body);
check("stored", r.status === 200 && told.entries.join() === "stored,stored", r.body.toString());
check("receipt", a.receipt_holds(told.receipt) && told.receipt.seq === 2 && told.receipt.hash === a.hashes[2]);
r = await a.push(1, lines);
check("duplicate", JSON.parse(r.body).entries.join() === "duplicate,duplicate,stored,stored", r.body.toString());
check("no digest", (await a.call(`/v1/authors/${a.author}/entries/5-5`, { method: "PUT", body: "x\n", headers: { "author-key": a.key } })).status === 400);
check("compressed", (await a.push(5, ["x\n"], { "content-encoding": "gzip" })).status === 415);
check("too long", (await a.call(`/v1/authors/${a.author}/entries/5-5`, { method: "PUT", body: "x".repeat((1 << 20) + 2) })).status === 413);
const twin = Object.assign(new Tablet(shop.url), { secret: a.secret, key: a.key, author: a.author, token: a.token, seq: 3, prev: a.hashes[3], receiver_key: a.receiver_key });
r = await twin.push(4, [twin.entry("job-1", "note", { text: "another fourth" })]);
check("fork", r.status === 409 && JSON.parse(r.body).code === "fork", r.body.toString());
const bad = a.entry("job-1", "note", { text: "five" }).replace("five", "FIVE");
r = await a.push(5, [bad]);
check("body changed", r.status === 422 && JSON.parse(r.body).what === "body", r.body.toString());
a.seq = 4; a.prev = a.hashes[4];
const strange = a.entry("job-1", "kind of tomorrow", { odd: "\u202e<script>", deep: [[["x"]]] });
check("unknown kind is kept", (await a.push(5, [strange])).status === 200);
const withheld = a.entry("job-1", "note", { text: "sealed" });
const [envelope, signature] = withheld.split("\t");
check("without its body", (await a.push(6, [`${envelope}\t${signature}\t\t\n`])).status === 200);
check("lacks", JSON.stringify(JSON.parse((await a.call("/v1/heads")).body).lacks) === "[[6,6]]");
check("body fills in", JSON.parse((await a.push(6, [withheld])).body).entries[0] === "duplicate");
check("lacks nothing", JSON.parse((await a.call("/v1/heads")).body).lacks.length === 0);
r = await a.call(`/v1/authors/${a.author}/entries?after=0&limit=200`);
const pulled = r.body.toString().split("\n");
check("pull is what was sent", r.status === 200 && pulled[1] + "\n" === lines[0] && pulled[6] + "\n" === withheld);
const header = JSON.parse(pulled[0]);
{ // RFC 9162, section 2.1.3.2, written here from the text
  const leaf = (h) => sha256(Buffer.from([0]), Buffer.from(h, "hex")), node = (l, rr) => sha256(Buffer.from([1]), l, rr);
  const holds = (hash, index, size, proof, root) => {
    let fn = index, sn = size - 1, x = leaf(hash);
    for (const p of proof.map((t) => Buffer.from(t, "hex"))) {
      if (sn === 0) return false;
      if (fn % 2 === 1 || fn === sn) { x = node(p, x); while (fn % 2 === 0 && fn !== 0) { fn >>= 1; sn >>= 1; } } else x = node(x, p);
      fn >>= 1; sn >>= 1;
    }
    return sn === 0 && x.toString("hex") === root;
  };
  check("inclusion of every line", header.index.every((at, i) => holds(a.hashes[i + 1], at, header.log.size, header.proof[i], header.log.root)));
}
// Limits of the HTTP end.
const raw = (text, wait = 1500) => new Promise((done) => {
  const s = net.connect(shop.port, "127.0.0.1", () => s.write(text));
  let out = "";
  s.on("data", (d) => { out += d; });
  s.on("error", () => done(out));
  s.on("close", () => done(out));
  setTimeout(() => { s.destroy(); done(out); }, wait);
});
const status = (text) => Number(/^HTTP\/1\.1 (\d+)/.exec(text)?.[1] ?? 0);
check("head too long", status(await raw(`GET / HTTP/1.1\r\nhost: x\r\na: ${"y".repeat(17000)}\r\n\r\n`)) === 431);
check("too many fields", status(await raw(`GET / HTTP/1.1\r\nhost: x\r\n${Array.from({ length: 120 }, (_, i) => `f${i}: 1\r\n`).join("")}\r\n`)) === 431);
check("no host", status(await raw("GET / HTTP/1.1\r\n\r\n")) === 400);
check("two lengths", status(await raw("POST /v1/nonce HTTP/1.1\r\nhost: x\r\ncontent-length: 0\r\ncontent-length: 5\r\n\r\n")) === 400);
check("length and chunked", status(await raw("POST /v1/nonce HTTP/1.1\r\nhost: x\r\ncontent-length: 3\r\ntransfer-encoding: chunked\r\n\r\n0\r\n\r\n")) === 400);
check("two hosts", status(await raw("GET /healthz HTTP/1.1\r\nhost: x\r\nhost: y\r\n\r\n")) === 400);
check("not HTTP", status(await raw("\x16\x03\x01\x02\x00\r\n\r\n")) === 400);
check("pipelined", (await raw("GET /healthz HTTP/1.1\r\nhost: x\r\n\r\nGET /healthz HTTP/1.1\r\nhost: x\r\n\r\n")).split("HTTP/1.1 200").length === 3);
check("split at every byte", status(await new Promise((done) => {
  const s = net.connect(shop.port, "127.0.0.1");
  let out = "";
  s.on("data", (d) => { out += d; s.destroy(); done(out); });
  const text = "GET /healthz HTTP/1.1\r\nhost: x\r\n\r\n";
  let at = 0;
  const next = () => { if (at < text.length) s.write(text[at++], () => setTimeout(next, 1)); };
  s.on("connect", next);
})) === 200);
// 300 traversal strings.
const traversal = [];
for (const up of ["../", "..%2f", "%2e%2e/", "%2e%2e%2f", "..\\", "..%5c", "%252e%252e%252f", "....//", "..%c0%af", "%00../"])
  for (const depth of [1, 2, 4])
    for (const goal of ["etc/passwd", "receiver.key", "shop.db", "uploads/x.json", "lock", "blobs/aa", "tls.key", "proc/self/environ", "w.shop", ".git/config"]) traversal.push(up.repeat(depth) + goal);
let through = 0;
for (const t of traversal)
  for (const base of ["/v1/blobs/", "/files/"]) {
    const answer = status(await raw(`GET ${base}${t} HTTP/1.1\r\nhost: x\r\nauthorization: Bearer ${a.token}\r\nconnection: close\r\n\r\n`, 3000));
    if (answer < 400 || answer >= 500) { ++through; console.log(base + t, answer); }
  }
check(`${traversal.length} traversal strings on two routes`, traversal.length === 300 && through === 0, `${through} through`);
// 500 connections that only drip.
{
  const slow = [];
  for (let i = 0; i < 500; ++i) { const s = net.connect(shop.port, "127.0.0.1", () => s.write("GET / HTTP/1.1\r\nx: ")); s.on("error", () => {}); slow.push(s); }
  const drip = setInterval(() => slow.forEach((s) => s.writable && s.write("y")), 200);
  const agent = new http.Agent({ keepAlive: true }), times = [];
  for (let i = 0; i < 100; ++i) { const t = performance.now(); const h = await request(`${shop.url}/healthz`, { agent }); times.push(performance.now() - t); if (h.status !== 200) times.push(1e9); }
  clearInterval(drip);
  slow.forEach((s) => s.destroy());
  times.sort((x, y) => x - y);
  check("an honest client beside 500 slow ones, p99 < 1 s", times[98] < 1000, `${times[98]}`);
  console.log(`beside 500 slow connections: p99 ${times[98].toFixed(1)} ms`);
}
const metrics = (await request(`${shop.url}/metrics`)).body.toString();
check("OpenMetrics", metrics.endsWith("# EOF\n") && /chockside_shop_entries 6\n/.test(metrics), metrics.slice(0, 200));
// A kill keeps all that has a receipt.
await shop.kill();
const again = await new Shop({ dir: shop.dir, db: shop.db, port: shop.port }).start();
r = await a.call("/v1/heads");
check("after a kill: session, head and epoch stay", r.status === 200 && JSON.parse(r.body).heads[a.author][0] === 6 && JSON.parse(r.body).epoch === told.receipt.epoch, r.body.toString());
await again.kill("SIGTERM");
ended();
