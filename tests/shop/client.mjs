// A tablet and a shop process for the tests, written from platform/net/PROTOCOL.md alone with Node's own crypto: a second implementation of
// envelope, hash, signature, digest and proofs.
import { spawn } from "node:child_process";
import crypto from "node:crypto";
import fs from "node:fs";
import http from "node:http";
import https from "node:https";
import net from "node:net";
import os from "node:os";
import path from "node:path";

export const sha256 = (...parts) => { const h = crypto.createHash("sha256"); parts.forEach((p) => h.update(p)); return h.digest(); };
export const canonical = (v) => Array.isArray(v) ? `[${v.map(canonical).join(",")}]`
  : v && typeof v === "object" ? `{${Object.keys(v).sort().map((k) => `${JSON.stringify(k)}:${canonical(v[k])}`).join(",")}}` : JSON.stringify(v);
export const digest = (body) => `sha-256=:${sha256(body).toString("base64")}:`;
export const sleep = (ms) => new Promise((done) => setTimeout(done, ms));

const made = [], shops = new Set();
/// A folder of this process: gone when it ends, after the shops that write in it.
export function temporary(name) {
  made.push(fs.mkdtempSync(path.join(os.tmpdir(), `shop-${name}-`)));
  return made.at(-1);
}
process.on("exit", () => {
  for (const shop of shops) shop.kill("SIGKILL");
  for (const dir of made) fs.rmSync(dir, { recursive: true, force: true, maxRetries: 3 });
});

const is_free = (port) => new Promise((done) => { const s = net.createServer().on("error", () => done(false)).listen(port, "127.0.0.1", () => s.close(() => done(true))); });
/// A port to listen on: below those that the system hands out for outgoing connections (32768 and up), which else hold one now and then.
export async function free_port() {
  for (;;) {
    const port = 20000 + Math.floor(Math.random() * 12000);
    if (await is_free(port)) return port;
  }
}

export class Shop {
  constructor(options = {}) {
    this.bin = process.env.CHOCKSIDE_SHOP;
    this.dir = options.dir ?? temporary("data");
    this.db = options.db;
    this.port = options.port;
    this.more = options.more ?? [];
    // Most tests stand for many tablets on one address; one that looks at the limits takes the shop's own.
    this.limits = options.own_limits ? [] : ["--per-address", "2000", "--per-device", "1000000", "--per-visitor", "1000000"];
    this.tls = options.tls;
  }
  get url() { return `${this.tls ? "https" : "http"}://127.0.0.1:${this.port}`; }
  async start() {
    this.port ??= await free_port();
    const args = ["--data", this.dir, "--listen", `127.0.0.1:${this.port}`, ...this.limits, ...(this.tls ? ["--certificate", this.tls.certificate, "--key", this.tls.key] : []), ...(this.db ? ["--db", this.db] : []), ...this.more];
    this.out = "";
    this.process = spawn(this.bin, args, { stdio: ["ignore", "pipe", "pipe"] });
    shops.add(this.process);
    this.process.stdout.on("data", (d) => { this.out += d; });
    this.process.stderr.on("data", (d) => { this.out += d; });
    this.gone = new Promise((done) => this.process.on("exit", (code, signal) => { shops.delete(this.process); done(signal ?? code); }));
    for (let i = 0; i < 400; ++i) {
      try {
        if ((await request(`${this.url}/healthz`)).status === 200) return this;
      } catch { /* not yet */ }
      if (this.process.exitCode !== null) throw new Error(`the shop ended: ${this.out}`);
      await sleep(25);
    }
    throw new Error(`the shop does not answer: ${this.out}`);
  }
  async first() {
    for (let i = 0; i < 100 && !/First tablet.*: (\S+)/.test(this.out); ++i) await sleep(20);
    return JSON.parse(Buffer.from(/chockside-enrol:(\S+)/.exec(this.out)[1], "base64url"));
  }
  password() { return /password ([0-9a-f]+)/.exec(this.out)[1]; }
  async kill(signal = "SIGKILL") { this.process.kill(signal); return this.gone; }
}

/// One request; the body as a Buffer. Throws where the connection ends before the whole answer.
export function request(url, { method = "GET", headers = {}, body, agent } = {}) {
  return new Promise((done, failed) => {
    const q = (url.startsWith("https:") ? https : http).request(url, { method, rejectUnauthorized: false, headers: { ...(body !== undefined ? { "content-length": Buffer.byteLength(body) } : {}), ...headers }, agent, timeout: 25000 }, (r) => {
      const parts = [];
      r.on("data", (d) => parts.push(d));
      r.on("end", () => (r.complete ? done({ status: r.statusCode, headers: r.headers, body: Buffer.concat(parts) }) : failed(new Error("cut"))));
      r.on("error", failed);
    });
    q.on("timeout", () => q.destroy(new Error("stalled")));
    q.on("error", failed);
    if (body !== undefined) q.write(body);
    q.end();
  });
}

export class Tablet {
  constructor(url, agent) {
    const pair = crypto.generateKeyPairSync("ed25519");
    this.url = url;
    this.agent = agent;
    this.secret = pair.privateKey;
    this.key = pair.publicKey.export({ type: "spki", format: "der" }).subarray(-32).toString("hex");
    this.author = sha256(Buffer.from(this.key, "hex")).toString("hex").slice(0, 32);
    this.seq = 0;
    this.prev = "";
    this.seen = {};
    this.hashes = [];
  }
  sign(domain, message) { return crypto.sign(null, Buffer.concat([Buffer.from(`chockside/${domain}/1\0`), Buffer.from(message)]), this.secret); }
  call(target, options = {}) {
    const headers = { ...(this.token ? { authorization: `Bearer ${this.token}` } : {}), ...(options.headers ?? {}) };
    return request(this.url + target, { ...options, headers, agent: this.agent });
  }
  async enrol(first, name = "tablet") {
    const proof = this.sign("enrolment", canonical({ code: first.code, key: this.key, receiver: first.receiver })).toString("hex");
    this.receiver = first.receiver;
    this.receiver_key = first.receiver_key;
    return this.call("/v1/enrol", { method: "POST", body: canonical({ code: first.code, key: this.key, name, proof }) });
  }
  async session() {
    const nonce = JSON.parse((await this.call("/v1/nonce", { method: "POST", body: "" })).body);
    const proof = this.sign("session", canonical({ author: this.author, nonce: nonce.nonce, receiver: nonce.receiver })).toString("hex");
    const answer = await this.call("/v1/session", { method: "POST", body: canonical({ author: this.author, nonce: nonce.nonce, proof, sent: Date.now() }) });
    if (answer.status === 200) this.token = JSON.parse(answer.body).token;
    return answer;
  }
  /// The next entry of this author, as its line. The chain goes on from it.
  entry(job, kind, body, { att = [], person = "LK", wall = Date.now() } = {}) {
    const text = canonical(body), salt = crypto.randomBytes(32);
    const envelope = canonical({ v: 1, author: this.author, seq: ++this.seq, prev: this.prev, job, seen: { ...(this.seen[job] ?? {}) }, kind, schema: 1,
      body_sha: sha256("body/1\0", salt, text).toString("hex"), att, person, meaning: "", wall, boot: "b", mono: this.seq, clk: null });
    const hash = sha256("entry/1\0", envelope);
    this.prev = hash.toString("hex");
    this.hashes[this.seq] = this.prev;
    this.seen[job] = { ...(this.seen[job] ?? {}), [this.author]: this.seq };
    return [envelope, this.sign("entry", hash).toString("base64"), salt.toString("base64"), text].join("\t") + "\n";
  }
  push(first, lines, more = {}) {
    const body = lines.join("");
    return this.call(`/v1/authors/${this.author}/entries/${first}-${first + lines.length - 1}`, { method: "PUT", body, headers: { "content-digest": digest(body), "author-key": this.key, ...more } });
  }
  receipt_holds(r) {
    const { signature, ...rest } = r;
    const key = crypto.createPublicKey({ key: Buffer.concat([Buffer.from("302a300506032b6570032100", "hex"), Buffer.from(this.receiver_key, "hex")]), format: "der", type: "spki" });
    return crypto.verify(null, Buffer.concat([Buffer.from("chockside/receipt/1\0"), Buffer.from(canonical(rest))]), key, Buffer.from(signature, "hex"));
  }
}

let failures = 0, checks = 0;
export function check(what, good, seen = "") {
  ++checks;
  if (good) return;
  ++failures;
  console.log(`FAIL ${what} ${typeof seen === "string" ? seen : JSON.stringify(seen)}`);
}
export function ended() {
  console.log(`${checks} checks, ${failures} failed`);
  process.exit(failures || !checks ? 1 : 0);
}
