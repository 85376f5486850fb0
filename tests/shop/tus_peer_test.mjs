// Our tablet's uploads against the reference server of the protocol's authors (@tus/server 2.4.5): `chockside-cli sync` speaks to a front that hands
// uploads to it and everything else to our shop. Every attachment must arrive there whole.
import { spawn, spawnSync } from "node:child_process";
import fs from "node:fs";
import http from "node:http";
import { createRequire } from "node:module";
import { Shop, check, ended, sha256, sleep, temporary } from "./client.mjs";

const require_ = createRequire(`${process.env.CHOCKSIDE_NODE_MODULES}/x.js`);
const { Server } = require_("@tus/server"), { FileStore } = require_("@tus/file-store");
const out = temporary("peer"), store = `${out}/store`;
fs.mkdirSync(store);
const environment = { ...process.env, QT_QPA_PLATFORM: "offscreen", XDG_RUNTIME_DIR: out, CHOCKSIDE_DATA: `${out}/data` };
const worked = spawnSync(process.env.CHOCKSIDE_CLI, ["rehearse", "--out", out, "--fault", "strap_open"], { encoding: "utf8", timeout: 100000, env: environment });
check("a practice job is worked", worked.status === 0, worked.stdout + worked.stderr);
const peer = new Server({ path: "/v1/uploads", datastore: new FileStore({ directory: store }), relativeLocation: true });
const shop = await new Shop().start();
let uploads = 0;
const front = http.createServer((q, r) => {
  if (q.url.startsWith("/v1/uploads")) {
    ++uploads;
    peer.handle(q, r);
    return;
  }
  const to = http.request(shop.url + q.url, { method: q.method, headers: q.headers }, (a) => { r.writeHead(a.statusCode, a.headers); a.pipe(r); });
  to.on("error", () => r.destroy());
  q.pipe(to);
});
await new Promise((done) => front.listen(0, "127.0.0.1", done));
for (let i = 0; i < 100 && !shop.out.includes("chockside-enrol:"); ++i) await sleep(20);
const code = /chockside-enrol:\S+/.exec(shop.out)[0];
const cli = spawn(process.env.CHOCKSIDE_CLI, ["sync", "--to", `http://127.0.0.1:${front.address().port}`, "--enrol", code, "--person", "LK", "--folder", `${out}/data`, "--seconds", "60", "--json"], { env: environment });
let said = "";
cli.stdout.on("data", (d) => { said += d; });
cli.stderr.on("data", (d) => { said += d; });
cli.stdin.end("480215\n");
const status = await new Promise((done) => cli.on("exit", done));
const infos = fs.readdirSync(store).filter((f) => f.endsWith(".json")).map((f) => JSON.parse(fs.readFileSync(`${store}/${f}`)));
let whole = 0;
for (const info of infos) {
  const bytes = fs.readFileSync(`${store}/${info.id}`);
  if (bytes.length === info.size && sha256(bytes).toString("hex") === info.metadata.sha256) ++whole;
}
check("attachments arrived", infos.length > 0 && whole === infos.length, `${whole} of ${infos.length}; exit ${status}; ${said}`);
console.log(`@tus/server: ${whole} attachments whole, ${uploads} requests; sync said ${said.trim().slice(0, 200)}`);
front.close();
await shop.kill("SIGTERM");
ended();
