// Both ends on one machine with practice data, in two commands: a whole practice job is worked by the rehearsal, `chockside-cli sync` brings it, the
// page shows it; then a second contact that has nothing to do.
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import { Shop, check, ended, request, sleep } from "./client.mjs";

const out = fs.mkdtempSync("/tmp/shop-cli-");
const cli = (...args) => spawnSync(process.env.CHOCKSIDE_CLI, args, { encoding: "utf8", input: "480215\n", timeout: 120000, env: { ...process.env, QT_QPA_PLATFORM: "offscreen", XDG_RUNTIME_DIR: out, CHOCKSIDE_DATA: `${out}/data` } });
const worked = cli("rehearse", "--out", out, "--fault", "strap_open");
check("a practice job is worked", worked.status === 0, worked.stdout + worked.stderr);
const shop = await new Shop().start();
for (let i = 0; i < 100 && !shop.out.includes("chockside-enrol:"); ++i) await sleep(20);
const code = /chockside-enrol:\S+/.exec(shop.out)[0];
let r = cli("sync", "--to", shop.url, "--enrol", code, "--person", "LK", "--folder", `${out}/data`, "--json");
const said = (() => { try { return JSON.parse(r.stdout); } catch { return {}; } })();
check("everything is at the shop", r.status === 0 && said.entries > 50 && said.at_shop === said.entries, r.stdout + r.stderr);
r = cli("sync", "--to", shop.url, "--folder", `${out}/data`, "--json");
check("a second contact", r.status === 0, r.stdout + r.stderr);
await sleep(1500);
const cookie = (await request(`${shop.url}/shop/login`, { method: "POST", body: `name=keeper&password=${shop.password()}`, headers: { "content-type": "application/x-www-form-urlencoded" } })).headers["set-cookie"][0].split(";")[0];
const list = (await request(`${shop.url}/shop/`, { headers: { cookie } })).body.toString();
const job = /href="(\/shop\/jobs\/[^"]+)"/.exec(list)?.[1];
check("the list shows it, closed", Boolean(job) && list.includes("Q4-RMP") && list.includes("Closed") && list.includes("PRACTICE"), list.slice(0, 400));
const page = (await request(shop.url + job, { headers: { cookie } })).body.toString();
check("the job's page: whole chain, finding, report", page.includes("chain whole") && page.includes("Isolated to") && page.includes("Aircraft entry"), page.slice(0, 300));
check("attachments are whole", page.includes(", whole") && !page.includes("arriving"));
if (process.env.CHOCKSIDE_PICTURES) fs.writeFileSync(`${process.env.CHOCKSIDE_PICTURES}/practice.html`, page);
await shop.kill("SIGTERM");
ended();
