// tus 1.0.0, clause by clause (protocol text of June 2025), then three peers: tus-js-client and tuspy against us.
// (Our tablet against @tus/server: tus_peer_test.mjs.)
import { execFileSync, spawnSync } from "node:child_process";
import crypto from "node:crypto";
import fs from "node:fs";
import http from "node:http";
import net from "node:net";
import { createRequire } from "node:module";
import { Shop, Tablet, check, digest, ended, request, sha256, sleep } from "./client.mjs";

const require_ = createRequire(`${process.env.CHOCKSIDE_NODE_MODULES}/x.js`);
const shop = await new Shop().start();
const t = new Tablet(shop.url);
await t.enrol(await shop.first());
await t.session();
const v = { "tus-resumable": "1.0.0" };
const meta = (bytes) => `sha256 ${Buffer.from(sha256(bytes).toString("hex")).toString("base64")},media ${Buffer.from("application/octet-stream").toString("base64")}`;
const create = (bytes, more = {}, body) => t.call("/v1/uploads", { method: "POST", body: body ?? "", headers: { ...v, "upload-length": String(bytes.length), "upload-metadata": meta(bytes), ...more } });
const patch = (url, offset, bytes, more = {}) => request(shop.url + url, { method: "PATCH", body: bytes, headers: { ...v, "upload-offset": String(offset), "content-type": "application/offset+octet-stream", ...more } });
const head = (url, more = v) => request(shop.url + url, { method: "HEAD", headers: more });

let r = await request(`${shop.url}/v1/uploads`, { method: "OPTIONS" });
check("OPTIONS", r.status === 204 && r.headers["tus-version"] === "1.0.0" && r.headers["tus-extension"] === "creation,creation-with-upload,checksum,expiration,termination"
  && r.headers["tus-max-size"] === String(512 << 20) && r.headers["tus-checksum-algorithm"] === "sha1,sha256", r.headers);
check("OPTIONS ignores Tus-Resumable", (await request(`${shop.url}/v1/uploads`, { method: "OPTIONS", headers: { "tus-resumable": "0.2.2" } })).status === 204);
const one = crypto.randomBytes(300000);
r = await create(one, { "tus-resumable": "0.9.0" });
check("another version: 412 with Tus-Version", r.status === 412 && r.headers["tus-version"] === "1.0.0");
check("no version: 412", (await t.call("/v1/uploads", { method: "POST", body: "", headers: { "upload-length": "1" } })).status === 412);
check("creation needs a device", (await request(`${shop.url}/v1/uploads`, { method: "POST", body: "", headers: { ...v, "upload-length": "5", "upload-metadata": meta(one) } })).status === 401);
r = await create(one);
const url = r.headers.location;
check("201, Location, Upload-Expires, Tus-Resumable", r.status === 201 && /^\/v1\/uploads\/[0-9a-f]{32}$/.test(url) && !Number.isNaN(Date.parse(r.headers["upload-expires"])) && r.headers["tus-resumable"] === "1.0.0", r.headers);
check("over the maximum: 413", (await t.call("/v1/uploads", { method: "POST", body: "", headers: { ...v, "upload-length": String((512 << 20) + 1), "upload-metadata": meta(one) } })).status === 413);
for (const wrong of ["-1", "x", "", "1.5", "99999999999999999999"]) check(`Upload-Length ${wrong}: 400`, (await create(one, { "upload-length": wrong })).status === 400);
for (const wrong of ["a b c", "a !!!", "a YQ==,a YQ==", ",", "sha256"]) check(`Upload-Metadata "${wrong}": 400`, (await create(one, { "upload-metadata": wrong })).status === 400);
check("an empty value is accepted", (await create(crypto.randomBytes(5), { "upload-metadata": `${meta(crypto.randomBytes(5))},empty,none ` })).status === 201);
check("concatenation: 400", (await create(one, { "upload-concat": "partial" })).status === 400);
check("deferred length: 400", (await create(one, { "upload-defer-length": "1" })).status === 400);
r = await head(url);
check("HEAD: offset, length, no-store, metadata", r.status === 200 && r.headers["upload-offset"] === "0" && r.headers["upload-length"] === "300000" && r.headers["cache-control"] === "no-store" && r.headers["upload-metadata"] === meta(one), r.headers);
r = await head("/v1/uploads/" + "0".repeat(32));
check("HEAD of the unknown: 404 without offset", r.status === 404 && !r.headers["upload-offset"]);
check("HEAD without a login (the address is the secret)", (await head(url)).status === 200);
check("PATCH, other media: 415", (await patch(url, 0, one.subarray(0, 10), { "content-type": "application/octet-stream" })).status === 415);
check("PATCH without offset: 400", (await request(shop.url + url, { method: "PATCH", body: "x", headers: { ...v, "content-type": "application/offset+octet-stream" } })).status === 400);
r = await patch(url, 5, one.subarray(5, 10));
check("PATCH at another offset: 409, nothing changed", r.status === 409 && (await head(url)).headers["upload-offset"] === "0");
check("PATCH of the unknown: 404", (await patch("/v1/uploads/" + "1".repeat(32), 0, "x")).status === 404);
r = await patch(url, 0, one.subarray(0, 1000));
check("PATCH: 204, new offset, Upload-Expires", r.status === 204 && r.headers["upload-offset"] === "1000" && r.headers["upload-expires"], r.headers);
r = await patch(url, 1000, Buffer.alloc(300000));
check("past the length: refused, offset unchanged", r.status === 413 && (await head(url)).headers["upload-offset"] === "1000");
check("HEAD by X-HTTP-Method-Override", (await request(shop.url + url, { method: "POST", body: "", headers: { ...v, "x-http-method-override": "HEAD" } })).headers["upload-offset"] === "1000");
r = await request(shop.url + url, { method: "POST", body: one.subarray(1000, 2000), headers: { ...v, "x-http-method-override": "PATCH", "upload-offset": "1000", "content-type": "application/offset+octet-stream" } });
check("PATCH by X-HTTP-Method-Override", r.status === 204 && r.headers["upload-offset"] === "2000");
const sum = (kind, bytes) => `${kind} ${crypto.createHash(kind).update(bytes).digest("base64")}`;
check("checksum sha1 holds", (await patch(url, 2000, one.subarray(2000, 3000), { "upload-checksum": sum("sha1", one.subarray(2000, 3000)) })).status === 204);
check("checksum sha256 holds", (await patch(url, 3000, one.subarray(3000, 4000), { "upload-checksum": sum("sha256", one.subarray(3000, 4000)) })).status === 204);
check("unknown algorithm: 400", (await patch(url, 4000, one.subarray(4000, 5000), { "upload-checksum": "md5 AAAA" })).status === 400);
check("mismatch: 460 and the chunk is gone", (await patch(url, 4000, one.subarray(4000, 5000), { "upload-checksum": sum("sha1", "other") })).status === 460 && (await head(url)).headers["upload-offset"] === "4000");
// A connection that breaks keeps what came.
await new Promise((done) => {
  const s = net.connect(shop.port, "127.0.0.1", () => {
    s.write(`PATCH ${url} HTTP/1.1\r\nhost: x\r\ntus-resumable: 1.0.0\r\nupload-offset: 4000\r\ncontent-type: application/offset+octet-stream\r\ncontent-length: 296000\r\n\r\n`);
    s.write(one.subarray(4000, 100000), () => setTimeout(() => { s.destroy(); done(); }, 300));
  });
});
r = await head(url);
check("what came before a break is kept", r.headers["upload-offset"] === "100000", r.headers["upload-offset"]);
r = await patch(url, 100000, one.subarray(100000));
check("the last PATCH", r.status === 204 && r.headers["upload-offset"] === "300000");
r = await t.call(`/v1/blobs/${sha256(one).toString("hex")}`, { method: "HEAD" });
check("the blob stands under its name", r.status === 200 && r.headers["content-length"] === "300000");
check("HEAD afterwards: offset is the length", (await head(url)).headers["upload-offset"] === "300000");
const none = Buffer.alloc(0);
check("length 0 is complete at once", (await create(none)).status === 201 && (await t.call(`/v1/blobs/${sha256(none).toString("hex")}`, { method: "HEAD" })).status === 200);
{ // Read back: the empty one in any range, beyond the end nothing, each with the protocol's header.
  const of = (bytes) => `/v1/blobs/${sha256(bytes).toString("hex")}`;
  await t.push(1, [t.entry("j", "note", { text: "x" }, { att: [one, none].map((bytes) => sha256(bytes).toString("hex")) })]);
  r = await t.call(of(none), { headers: { range: "bytes=0-1048575" } });
  check("a range of an empty blob: 200 and nothing", r.status === 200 && r.headers["content-length"] === "0" && r.headers["chockside-protocol"] === "1", `${r.status}`);
  r = await t.call(of(one), { headers: { range: "bytes=300000-" } });
  check("a range beyond the end: 416 with the protocol", r.status === 416 && r.headers["content-range"] === "bytes */300000" && r.headers["chockside-protocol"] === "1" && r.headers["content-digest"] === digest(r.body), r.headers);
  const kept = () => fs.readdirSync(`${shop.dir}/uploads`).length, before = kept();
  const places = new Set();
  for (let i = 0; i < 30; ++i) { r = await create(i % 2 ? one : none); places.add(r.headers.location); check("a blob that is there: 201", r.status === 201); }
  check("for a blob that is there nothing is kept", kept() === before && places.size === 2, `${kept() - before} ${places.size}`);
  check("and its upload is whole", (await head((await create(one)).headers.location)).headers["upload-offset"] === "300000");
}
{ // More stale connections than threads: each lets go when it is asked, and what came counts.
  const crowd = await new Shop().start(), c = new Tablet(crowd.url);
  await c.enrol(await crowd.first());
  await c.session();
  const stale = [], urls = [];
  for (let i = 0; i < 7; ++i) {
    const made = await c.call("/v1/uploads", { method: "POST", body: "", headers: { ...v, "upload-length": "1048576", "upload-metadata": meta(crypto.randomBytes(9)) } });
    urls.push(made.headers.location);
    await new Promise((done) => {
      const s = net.connect(crowd.port, "127.0.0.1", () => {
        s.write(`PATCH ${urls[i]} HTTP/1.1\r\nhost: x\r\ntus-resumable: 1.0.0\r\nupload-offset: 0\r\ncontent-type: application/offset+octet-stream\r\ncontent-length: 1048576\r\n\r\n`);
        s.write(crypto.randomBytes(600000), () => setTimeout(done, 50));
      });
      s.on("error", () => {});
      stale.push(s);
    });
  }
  await sleep(300);
  const began = performance.now(), heads = await Promise.all(urls.map((u) => request(crowd.url + u, { method: "HEAD", headers: v }))), took = performance.now() - began;
  check("seven are taken over at once", heads.every((h) => h.status === 200 && Number(h.headers["upload-offset"]) > 300000) && took < 4000, `${heads.map((h) => `${h.status} ${h.headers["upload-offset"]}`)} in ${took} ms`);
  stale.forEach((s) => s.destroy());
  await crowd.kill("SIGTERM");
}
const small = crypto.randomBytes(5000);
r = await create(small, { "content-type": "application/offset+octet-stream" }, small);
check("creation-with-upload", r.status === 201 && r.headers["upload-offset"] === "5000", r.headers);
const lie = crypto.randomBytes(100);
r = await create(lie);
const lied = r.headers.location;
check("other content than the name: 460", (await patch(lied, 0, crypto.randomBytes(100))).status === 460);
check("and it is gone: 410", (await head(lied)).status === 410);
const ended_ = crypto.randomBytes(50);
r = await create(ended_);
const again = (await create(ended_)).headers.location;
check("the same upload begun twice is one", again === r.headers.location);
check("termination: 204, then 410", (await request(shop.url + again, { method: "DELETE", headers: v })).status === 204 && (await head(again)).status === 410);
let opened = 0;
for (let i = 0; i < 12; ++i) { r = await create(crypto.randomBytes(20)); if (r.status === 201) ++opened; }
check("eight open uploads, then 503 with Retry-After", opened <= 8 && r.status === 503 && Number(r.headers["retry-after"]) > 0, `${opened} ${r.status}`);

// A second shop for the peers, killed in the middle of an upload: bytes sent again.
const shop2 = await new Shop().start();
const p = new Tablet(shop2.url);
await p.enrol(await shop2.first());
await p.session();
const auth = { Authorization: `Bearer ${p.token}` };
const big = crypto.randomBytes(12 << 20), name = sha256(big).toString("hex");
const tus = require_("tus-js-client");
let resent = 0, last = 0;
const upload = (bytes, on) => new Promise((done, failed) => {
  const u = new tus.Upload(bytes, { endpoint: `${shop2.url}/v1/uploads`, headers: auth, chunkSize: 4 << 20, retryDelays: [0, 200, 500, 1000, 2000, 2000], metadata: { sha256: sha256(bytes).toString("hex"), media: "x" },
    onProgress: (sent) => on?.(sent), onSuccess: () => done(u), onError: failed });
  u.start();
});
let killed = false;
try {
  await upload(big, (sent) => {
    if (sent < last) resent = Math.max(resent, last - sent);
    last = sent;
    if (!killed && sent > (5 << 20)) {
      killed = true;
      shop2.kill().then(() => new Shop({ dir: shop2.dir, port: shop2.port }).start()).then((s) => { shop2.next = s; });
    }
  });
  r = await p.call(`/v1/blobs/${name}`, { method: "HEAD" });
  check("tus-js-client, the shop killed in the middle", killed && r.status === 200 && r.headers["content-length"] === String(big.length), r.status);
} catch (e) { check("tus-js-client", false, String(e)); }
console.log(`tus-js-client: most bytes that went twice after a kill (as its progress tells, sent but perhaps never received): ${resent}`);

const python = `
import sys, hashlib
from tusclient import client
data = open(sys.argv[3], 'rb').read()
c = client.TusClient(sys.argv[1], headers={'Authorization': 'Bearer ' + sys.argv[2]})
u = c.uploader(sys.argv[3], chunk_size=700000, metadata={'sha256': hashlib.sha256(data).hexdigest(), 'media': ''}, retries=3, retry_delay=1)
u.upload_chunk(); u.upload_chunk()
second = c.uploader(sys.argv[3], chunk_size=1000000, url=u.url)
assert second.offset == 1400000, second.offset
second.upload()
print(second.offset)
`;
const file = `${shop2.dir}/peer.bin`;
fs.writeFileSync(file, crypto.randomBytes(3000000));
const ran = spawnSync("/usr/bin/python3", ["-c", python, `${shop2.url}/v1/uploads`, p.token, file], { encoding: "utf8", timeout: 60000 });
check("tuspy, interrupted and resumed", ran.status === 0 && ran.stdout.trim() === "3000000", ran.stderr);
check("tuspy's blob", (await p.call(`/v1/blobs/${sha256(fs.readFileSync(file)).toString("hex")}`, { method: "HEAD" })).status === 200);
await shop.kill("SIGTERM");
await (shop2.next ?? shop2).kill("SIGTERM");
ended();
