// Uploads that are interrupted: the connection is cut at any byte, half-closed, left behind for a new one, or the shop is killed; each time
// HEAD says where to go on. The stored file is hashed by coreutils. In CI 24 of 2 MiB; with CHOCKSIDE_LONG 1,000 of 50 MB (R10).
// interrupted_test.mjs [COUNT BYTES SEED]
import { execFileSync, spawn } from "node:child_process";
import crypto from "node:crypto";
import fs from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { Shop, Tablet, check, ended, request, sha256, sleep } from "./client.mjs";

const long = Boolean(process.env.CHOCKSIDE_LONG);
const count = Number(process.argv[2] ?? (long ? 1000 : 24)), size = Number(process.argv[3] ?? (long ? 50_000_000 : 2 << 20)), seed = Number(process.argv[4] ?? 20261126);
let state = BigInt(seed);
const below = (n) => { state = (state * 6364136223846793005n + 1442695040888963407n) & ((1n << 64n) - 1n); return Number((state >> 33n) % BigInt(n)); };

let shop = await new Shop().start();
const first = await shop.first();
const person = { cookie: "", form_token: "" };
person.cookie = (await request(`${shop.url}/shop/login`, { method: "POST", body: `name=keeper&password=${shop.password()}`, headers: { "content-type": "application/x-www-form-urlencoded" } })).headers["set-cookie"][0].split(";")[0];
person.form_token = /name="form_token" value="([0-9a-f]+)"/.exec((await request(`${shop.url}/shop/`, { headers: { cookie: person.cookie } })).body.toString())[1];
const new_code = async () => JSON.parse(Buffer.from(/chockside-enrol:([\w-]+)/.exec((await request(`${shop.url}/shop/tablets/code`, { method: "POST", body: `form_token=${person.form_token}`, headers: { cookie: person.cookie, "content-type": "application/x-www-form-urlencoded" } })).body.toString())[1], "base64url"));
let tablet;
const enrol = async (code) => { tablet = new Tablet(shop.url); await tablet.enrol(code); await tablet.session(); };
await enrol(first);

const here = path.dirname(fileURLToPath(import.meta.url)), body_file = path.join(shop.dir, "..", `${path.basename(shop.dir)}.body`);
const content = crypto.randomBytes(size), v = { "tus-resumable": "1.0.0" };
const head = async (url) => { for (let tries = 0; ; ++tries) { try { const r = await request(shop.url + url, { method: "HEAD", headers: v }); if (r.status !== 423) return r; } catch (e) { if (tries > 200) throw e; } await sleep(20); } };
/// Sends from `offset` until `stop` bytes of the body are out, then does `how`; a whole body waits for its answer. Gives the answer's status or
/// 0, and the bytes that the sender's kernel took.
function patch(url, offset, stop, how) {
  return new Promise((done) => {
    const sender = spawn("python3", ["-B", path.join(here, "send_and_break.py"), String(shop.port), url, String(offset), String(stop), how, body_file], { stdio: ["ignore", "pipe", "inherit"] });
    let out = "", killing = false;
    const number = (word) => Number(new RegExp(`^${word} (\\d+)$`, "m").exec(out)?.[1] ?? 0);
    sender.stdout.on("data", (d) => {
      out += d;
      if (!/^sent/m.test(out)) return;
      if (how === "left") done({ status: 0, took: number("sent") });
      if (how === "kill" && !killing) { killing = true; shop.kill(); }
    });
    sender.on("close", () => done({ status: number("status"), took: number("sent") }));
  });
}

let mismatched = 0, interruptions = 0, kills = 0, went_back = 0, beyond = 0, bytes = 0;
const refused = {}, again = {}; // by kind of interruption: most bytes of one request that the sending kernel took and that were not there afterwards
const began = performance.now();
for (let n = 0; n < count; ++n) {
  if (bytes + size > 1.8 * 2 ** 30) { await enrol(await new_code()); bytes = 0; } // 2 GiB a day and device
  bytes += size;
  content.writeBigUInt64LE(BigInt(n) ^ state, 0);
  content.writeBigUInt64LE(state, size - 8);
  fs.writeFileSync(body_file, content);
  const name = sha256(content).toString("hex");
  const made = await tablet.call("/v1/uploads", { method: "POST", body: "", headers: { ...v, "upload-length": String(size), "upload-metadata": `sha256 ${Buffer.from(name).toString("base64")}` } });
  if (made.status !== 201) { check("an upload begins", false, `${made.status} ${made.body}`); break; }
  const url = made.headers.location;
  let offset = 0, status = 0, sent = 0;
  for (let cuts = 1 + below(5); status !== 204; --cuts) {
    const rest = size - offset, stop = cuts > 0 ? below(rest) : rest, how = stop === rest ? "whole" : n % 12 === 5 && offset === 0 ? "kill" : ["cut", "reset", "half", "left"][below(4)];
    const { status: said, took } = await patch(url, offset, stop, how);
    status = said;
    sent = Math.max(sent, offset + took);
    if (stop < rest) ++interruptions;
    if (how === "kill" && stop < rest) { ++kills; await shop.gone; shop = await new Shop({ dir: shop.dir, port: shop.port }).start(); }
    if (status === 204) break;
    const r = await head(url), now = Number(r.headers["upload-offset"]);
    if (r.status !== 200 || !(now >= offset)) { ++went_back; console.log(`upload ${n}: ${r.status} ${now} after ${offset}`); break; }
    if (now > sent) { ++beyond; console.log(`upload ${n}: ${now} after ${offset}, ${how} at ${stop}, took ${took}`); }
    if (status) refused[status] = (refused[status] ?? 0) + 1; // answered before the break: what came after was read and dropped
    else if (how !== "whole") again[how] = Math.max(again[how] ?? 0, offset + took - now);
    offset = now;
    if (cuts < -20) break;
  }
  const found = execFileSync("find", [`${shop.dir}/blobs`, "-type", "f", "-name", `*${name.slice(4)}*`], { encoding: "utf8" }).trim();
  const hash = found ? execFileSync("sha256sum", [found], { encoding: "utf8" }).split(" ")[0] : "";
  if (status !== 204 || hash !== name) { ++mismatched; console.log(`upload ${n}: ${status} ${found} ${hash}`); }
  if (found && n > 0) fs.rmSync(found);
  if (n % 50 === 49) console.log(`${n + 1} uploads, ${((performance.now() - began) / 1000).toFixed(0)} s`);
}
check(`${count} interrupted uploads of ${size} bytes: none is different`, mismatched === 0, String(mismatched));
check("an offset never goes back", went_back === 0, String(went_back));
check("an offset is never beyond what was sent", beyond === 0, String(beyond));
check("there were interruptions of every kind", interruptions >= count && kills > 0, `${interruptions} ${kills}`);
// R11: what came and was not kept.
check("at most 1 MiB of a request goes again", Object.values(again).every((bytes) => bytes <= 1 << 20), JSON.stringify(again));
fs.rmSync(body_file);
// Of a finished upload its record stays until it expires, so that a late HEAD is answered; no bytes.
const left = fs.readdirSync(path.join(shop.dir, "uploads")).filter((name) => !name.endsWith(".json"));
check("no bytes are left of them", left.length === 0, left.join());
console.log(`seed ${seed}: ${count} uploads of ${size} bytes, ${interruptions} interruptions, ${kills} kills of the shop, ${mismatched} different; most bytes that went again: ${JSON.stringify(again)}; answered before the break: ${JSON.stringify(refused)}`);
await shop.kill("SIGTERM");
ended();
