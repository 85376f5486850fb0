// Enrolment, session, heads, push, pull, forks, gaps, limits, revocation, restart: against the real process, by a client written from PROTOCOL.md.
import { spawn } from "node:child_process";
import crypto from "node:crypto";
import http from "node:http";
import net from "node:net";
import { Shop, Tablet, canonical, check, digest, ended, request, sha256, sleep } from "./client.mjs";

const shop = await new Shop({ db: process.env.CHOCKSIDE_DB }).start();
const first = await shop.first();
const form = { "content-type": "application/x-www-form-urlencoded" };
const keeper = async () => (await request(`${shop.url}/shop/login`, { method: "POST", body: `name=keeper&password=${shop.password()}`, headers: form })).headers["set-cookie"][0].split(";")[0];
/// By a code from the page.
async function enrolled(name) {
  const cookie = await keeper(), form_token = /name="form_token" value="([0-9a-f]+)"/.exec((await request(`${shop.url}/shop/`, { headers: { cookie } })).body)[1];
  const page = await request(`${shop.url}/shop/tablets/code`, { method: "POST", body: new URLSearchParams({ form_token }).toString(), headers: { cookie, ...form } }), x = new Tablet(shop.url);
  await x.enrol(JSON.parse(Buffer.from(/chockside-enrol:([\w-]+)/.exec(page.body.toString())[1], "base64url")), name);
  await x.session();
  return x;
}
const slow_reader = `
import socket, sys, time
s = socket.socket(); s.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096); s.setsockopt(socket.IPPROTO_TCP, socket.TCP_MAXSEG, 1000); s.connect(('127.0.0.1', int(sys.argv[1])))
s.sendall(('GET %s HTTP/1.1\\r\\nhost: x\\r\\nauthorization: Bearer %s\\r\\n\\r\\n' % (sys.argv[2], sys.argv[3])).encode())
began, got, want = time.time(), b'', 1
try:
    while len(got) < want:
        piece = s.recv(8192)
        if not piece: break
        got += piece
        if b'\\r\\n\\r\\n' in got and want == 1:
            head = got.split(b'\\r\\n\\r\\n')[0]
            want = len(head) + 4 + int([l for l in head.split(b'\\r\\n') if l.lower().startswith(b'content-length')][0].split(b':')[1])
        time.sleep(0.05)
except OSError: pass
print(len(got), want, time.time() - began)`;
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
{ // A job's id of any length that an envelope holds, from a tablet of its own; the ids of two differ in their ends alone.
  const l = await enrolled("long ids"), long = "job " + "\u{1f6e9}".repeat(200) + crypto.randomBytes(30000).toString("hex"), other = long.slice(0, -1) + (long.endsWith("0") ? "1" : "0");
  const sent = [[long, "a"], [other, "b"], [long, "c"]].map(([job, text]) => l.entry(job, "note", { text }));
  const mate = await enrolled("long ids' mate");
  r = await l.push(1, sent);
  check("a long job id is stored", r.status === 200 && JSON.parse(r.body).receipt.seq === 3, `${r.status} ${r.body}`);
  check("and again", (await l.push(1, sent)).status === 200);
  check("and comes back", (await l.call(`/v1/authors/${l.author}/entries?after=0`)).body.toString().split("\n").slice(1, -1).join("\n") + "\n" === sent.join(""));
  check("another tablet writes in one of them", (await mate.push(1, [mate.entry(long, "note", { text: "d" })])).status === 200);
  const jobs = JSON.parse((await l.call("/v1/jobs?after=")).body).jobs;
  check("of two that begin alike only that one is shared", canonical(jobs) === canonical({ [long]: { [mate.author]: 1 } }), Object.keys(jobs).map((j) => j.length));
  const cookie = await keeper();
  let list = "";
  for (let i = 0; i < 60 && !/\/shop\/jobs\/job%20/.test(list); ++i) { list = (await request(`${shop.url}/shop/`, { headers: { cookie } })).body.toString(); await sleep(100); }
  const at = /href="(\/shop\/jobs\/job%20[^"]+)"/.exec(list)?.[1];
  check("the page lists it and opens it", Boolean(at) && (await request(shop.url + at, { headers: { cookie } })).body.toString().includes("chain whole"), at);
  const form_token = /name="form_token" value="([0-9a-f]+)"/.exec(list)?.[1];
  const said = await request(`${shop.url}${at}/reply`, { method: "POST", body: new URLSearchParams({ form_token, text: "Look again" }).toString(), headers: { cookie, "content-type": "application/x-www-form-urlencoded" } });
  const stream = sha256(Buffer.from(JSON.parse((await l.call("/v1/heads")).body).streams.device_key, "hex")).toString("hex").slice(0, 32);
  const down = (await l.call(`/v1/authors/${stream}/entries?after=0`)).body.toString().split("\n")[1];
  check("a reply in it names it whole", said.status === 303 && [long, other].includes(JSON.parse(down.split("\t")[0]).job), said.status);
}
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
// Rates and connections, as they are without being told otherwise: 10 a second and 50 at once of a tablet, 256 connections of an address.
{
  const own = await new Shop({ own_limits: true, more: ["--stall", "1"] }).start();
  const t = new Tablet(own.url);
  await t.enrol(await own.first());
  await t.session();
  await t.call("/v1/heads"); // its token is known from here
  const burst = async (n, call) => { const all = []; const began = performance.now(); for (let i = 0; i < n; i += 10) all.push(...(await Promise.all(Array.from({ length: 10 }, call)))); return [all, (performance.now() - began) / 1000]; };
  const [answers, took] = await burst(100, () => t.call("/v1/heads"));
  const good = answers.filter((x) => x.status === 200).length, late = answers.filter((x) => x.status === 429);
  check("a tablet's burst: 50 and what came back meanwhile", good >= 50 && good <= 50 + 10 * took + 1 && good + late.length === 100, `${good} in ${took} s`);
  check("429 says how long, with digest and protocol", late.length > 0 && late.every((x) => Number(x.headers["retry-after"]) === 1 && x.headers["content-digest"] === digest(x.body) && x.headers["chockside-protocol"] === "1" && JSON.parse(x.body).code === "too_often"));
  const [health] = await burst(700, () => request(`${own.url}/healthz`));
  check("the health page has no rate", health.every((x) => x.status === 200));
  check("others of the address are served", (await request(`${own.url}/shop/login`)).status === 200);
  await new Promise((done) => setTimeout(done, 1000 * Number(late[0].headers["retry-after"])));
  check("after as long as was said it is served", (await t.call("/v1/heads")).status === 200);
  const [strangers] = await burst(900, () => request(`${own.url}/v1/heads`, { headers: { authorization: `Bearer ${Math.random()}` } }));
  const told401 = strangers.filter((x) => x.status === 401).length;
  check("tokens made up count as one address", told401 >= 500 - 60 && strangers.filter((x) => x.status === 429).length + told401 === 900, `${told401}`);
  check("a tablet that is known is served beside them", (await t.call("/v1/heads")).status === 200);
  const [uploads] = await burst(2600, () => request(`${own.url}/v1/uploads/${"0".repeat(32)}`, { method: "HEAD", headers: { "tus-resumable": "1.0.0" } }));
  const seen = new Set(uploads.map((x) => x.status));
  check("uploads: HEAD beyond the rate is 423, never 429", seen.has(423) && !seen.has(429) && uploads.filter((x) => x.status === 423).every((x) => Number(x.headers["retry-after"]) >= 1 && x.headers["tus-resumable"] === "1.0.0"), [...seen].join());
  { // An answer that is read at 160 kB/s: longer than a stall in all, never silent.
    const lines = Array.from({ length: 150 }, () => t.entry("long", "note", { text: crypto.randomBytes(3000).toString("hex") })), pushed = await t.push(1, lines);
    check("1 MB is there", pushed.status === 200, pushed.status);
    const read = spawn("python3", ["-c", slow_reader, String(own.port), `/v1/authors/${t.author}/entries?after=0`, t.token]);
    let said = "";
    read.stdout.on("data", (d) => { said += d; });
    await new Promise((done) => read.on("exit", done));
    const [got, of, took] = said.split(" ").map(Number);
    check("an answer read slowly is whole", got === of && of > 900_000 && took > 3, said);
  }
  // A request that stops halfway, one that only drips, and a body that stalls.
  const at = (text, each) => new Promise((done) => {
    const s = net.connect(own.port, "127.0.0.1", () => s.write(text)), began = performance.now();
    const drip = each && setInterval(() => s.writable && s.write(each), 100);
    let out = "";
    s.on("data", (d) => { out += d; });
    s.on("error", () => {});
    s.on("close", () => { clearInterval(drip); done({ out, s: (performance.now() - began) / 1000 }); });
  });
  const [half, dripped, stalled] = await Promise.all([at("GET /healthz HTTP/1.1\r\nhost"), at("GET /healthz HTTP/1.1\r\nx: ", "y"), at("POST /v1/nonce HTTP/1.1\r\nhost: x\r\ncontent-length: 100\r\n\r\nabc")]);
  check("half a head ends", half.out === "" && half.s >= 0.9, `${half.s} ${half.out}`);
  check("a dripping head is 408", status(dripped.out) === 408, dripped.out);
  check("a stalled body ends", stalled.s >= 0.9 && status(stalled.out) !== 200, stalled.out);
  // The 257th connection is told; the 289th is closed.
  const held = await Promise.all(Array.from({ length: 256 }, () => new Promise((done) => { const s = net.connect(own.port, "127.0.0.1", () => done(s)); s.on("error", () => {}); })));
  const raw_own = (text) => new Promise((done) => { const s = net.connect(own.port, "127.0.0.1", () => s.write(text)); let out = ""; s.on("data", (d) => { out += d; }); s.on("error", () => {}); s.on("close", () => done(out)); });
  const crowded = await raw_own("GET /shop/login HTTP/1.1\r\nhost: x\r\n\r\n");
  check("one connection too many: 429, Retry-After, closed", status(crowded) === 429 && /retry-after: \d+/i.test(crowded) && /connection: close/i.test(crowded), crowded);
  check("uploads are told 503", status(await raw_own("PATCH /v1/uploads/x HTTP/1.1\r\nhost: x\r\ncontent-length: 0\r\n\r\n")) === 503);
  check("the health page is answered then too", status(await raw_own("GET /healthz HTTP/1.1\r\nhost: x\r\n\r\n")) === 200);
  const told = await Promise.all(Array.from({ length: 32 }, () => new Promise((done) => { const s = net.connect(own.port, "127.0.0.1", () => done(s)); s.on("error", () => {}); })));
  check("far too many: closed without a word", (await raw_own("GET /healthz HTTP/1.1\r\nhost: x\r\n\r\n")) === "");
  [...held, ...told].forEach((s) => s.destroy());
  for (let i = 0; i < 100; ++i) { const answer = await request(`${own.url}/shop/login`).catch(() => ({})); if (answer.status === 200) break; await new Promise((done) => setTimeout(done, 20)); }
  check("when they are gone all is as before", (await request(`${own.url}/shop/login`)).status === 200);
  const figures = (await request(`${own.url}/metrics`)).body.toString();
  check("what was slowed is counted", Number(/chockside_shop_slowed_total (\d+)/.exec(figures)?.[1]) > 500, figures.slice(0, 300));
  await own.kill("SIGTERM");
}
// Guessing, figures and the cookie, seen from behind a proxy.
{
  const far = await new Shop({ more: ["--behind-proxy", "--metrics-token", "word-of-the-figures"] }).start();
  const code = await far.first(), from = (address) => ({ "x-forwarded-for": `198.51.100.9, ${address}`, "x-forwarded-proto": "https" });
  const enrol = (c, address) => { const x = new Tablet(far.url), call = x.call.bind(x); x.call = (target, o) => call(target, { ...o, headers: from(address) }); return x.enrol({ ...code, code: c }); };
  const tries = [];
  for (let i = 0; i < 6; ++i) tries.push(await enrol(`${i}`.repeat(32), "192.0.2.7"));
  check("five wrong codes, then nothing more from that address", tries.map((x) => x.status).join() === "410,410,410,410,410,503" && tries[5].headers["retry-after"] === "900", tries.map((x) => x.status).join());
  check("not even the right one", (await enrol(code.code, "192.0.2.7")).status === 503);
  check("from elsewhere it is good", (await enrol(code.code, "192.0.2.8")).status === 200);
  const six = [];
  for (let i = 0; i < 6; ++i) six.push((await enrol(`${i}`.repeat(32), `2001:db8:1:2::${i + 1}`)).status);
  check("a line's IPv6 addresses are one", six.join() === "410,410,410,410,410,503", six.join());
  const figures = async (headers) => (await request(`${far.url}/metrics`, { headers })).status;
  check("figures: not from afar, but with their token", (await figures(from("192.0.2.7"))) === 403 && (await figures({ ...from("192.0.2.7"), authorization: "Bearer word" })) === 403 && (await figures({ ...from("192.0.2.7"), authorization: "Bearer word-of-the-figures" })) === 200);
  const log_in = (password, address) => request(`${far.url}/shop/login`, { method: "POST", body: `name=keeper&password=${password}`, headers: { ...from(address), "content-type": "application/x-www-form-urlencoded" } });
  const marks = (await log_in(far.password(), "192.0.2.9")).headers["set-cookie"]?.[0] ?? "";
  check("the cookie's marks", ["HttpOnly", "SameSite=Strict", "Path=/shop", "Secure"].every((m) => marks.split("; ").includes(m)), marks);
  for (let i = 0; i < 5; ++i) await log_in("wrong words here", "192.0.2.10");
  const late = await log_in(far.password(), "192.0.2.11");
  check("after five wrong passwords the right one waits too, from wherever", !late.headers["set-cookie"], `${late.status}`);
  await far.kill("SIGTERM");
}
const metrics = (await request(`${shop.url}/metrics`)).body.toString();
check("OpenMetrics", metrics.endsWith("# EOF\n") && /chockside_shop_entries 12\n/.test(metrics), metrics.slice(0, 200));
// A kill keeps all that has a receipt.
await shop.kill();
const again = await new Shop({ dir: shop.dir, db: shop.db, port: shop.port }).start();
r = await a.call("/v1/heads");
check("after a kill: session, head and epoch stay", r.status === 200 && JSON.parse(r.body).heads[a.author][0] === 6 && JSON.parse(r.body).epoch === told.receipt.epoch, r.body.toString());
await again.kill("SIGTERM");
ended();
