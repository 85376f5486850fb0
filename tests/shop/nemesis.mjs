// R6: tablets push against the real process (one, or two over one PostgreSQL) while it is killed and started again; PostgreSQL is restarted in the
// middle of transactions. The history (ok, refused, unknown) goes to a checker: nothing with a receipt is lost, nothing is there twice, heads never
// go back, and in the end everything is there.  nemesis.mjs sqlite|postgres [SECONDS]
import { spawnSync } from "node:child_process";
import http from "node:http";
import { Shop, Tablet, check, ended, request, sleep } from "./client.mjs";
import { postgres } from "./postgres.mjs";

const kind = process.argv[2], seconds = Number(process.argv[3] ?? (process.env.CHOCKSIDE_LONG ? 7200 : 120));
const seed = Number(process.env.CHOCKSIDE_SEED ?? Date.now() % 100000);
let state = seed;
const random = () => { state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff; return state / 0x7fffffff; };
const pg = kind === "postgres" ? postgres() : undefined;
const shops = [await new Shop({ db: pg?.db }).start()];
const first = await shops[0].first();
if (pg) shops.push(await new Shop({ db: pg.db, dir: shops[0].dir }).start());
const tablets = [], password = shops[0].password();
{ // one tablet by the first code, the others by the page
  const form = (path, cookie, fields) => request(shops[0].url + path, { method: "POST", body: new URLSearchParams(fields).toString(), headers: { "content-type": "application/x-www-form-urlencoded", ...(cookie ? { cookie } : {}) } });
  const cookie = (await form("/shop/login", "", { name: "keeper", password })).headers["set-cookie"][0].split(";")[0];
  const form_token = /name="form_token" value="([0-9a-f]+)"/.exec((await request(`${shops[0].url}/shop/`, { headers: { cookie } })).body)[1];
  for (let i = 0; i < 6; ++i) {
    const code = i ? JSON.parse(Buffer.from(/chockside-enrol:([\w-]+)/.exec((await form("/shop/tablets/code", cookie, { form_token })).body.toString())[1], "base64url")) : first;
    const t = new Tablet(shops[0].url, new http.Agent({ keepAlive: true, maxSockets: 1 }));
    check("enrolled", (await t.enrol(code, `tablet ${i}`)).status === 200);
    await t.session();
    tablets.push(t);
  }
}
const history = { ok: 0, duplicate: 0, refused: 0, unknown: 0, kills: 0, restarts: 0, torn: 0 };
let over = false;
async function work(t, number) {
  t.lines = [];
  t.acked = 0;
  let last_head = 0, epoch;
  while (!over || t.acked < t.lines.length) {
    if (!over && t.lines.length - t.acked < 20) for (let i = 0; i < 5; ++i) t.lines.push(t.entry(`job-${number}-${t.lines.length >> 6}`, "note", { text: `entry ${t.seq}`, pad: "x".repeat(Math.floor(random() * 300)) }));
    t.url = shops[Math.floor(random() * shops.length)].url;
    const from = Math.max(0, t.acked - (random() < 0.2 ? 3 : 0)), lines = t.lines.slice(from, from + 1 + Math.floor(random() * 20));
    try {
      const r = await t.push(from + 1, lines);
      if (r.status === 200) {
        const told = JSON.parse(r.body);
        epoch ??= told.receipt.epoch;
        check("receipt holds", t.receipt_holds(told.receipt));
        check("receipt names our hash", told.receipt.hash === t.hashes[told.receipt.seq], `${number} ${told.receipt.seq}`);
        check("a head never goes back", told.receipt.seq >= last_head && told.receipt.epoch === epoch, `${told.receipt.seq} after ${last_head}`);
        last_head = told.receipt.seq;
        t.acked = Math.max(t.acked, from + lines.length);
        t.receipt = told.receipt;
        ++history.ok;
        history.duplicate += told.entries.filter((e) => e === "duplicate").length;
      } else {
        ++history.refused;
        check("only what may be tried again", [503, 401, 409].includes(r.status), `${r.status} ${r.body}`);
        if (r.status === 409) check("no gap, no fork", false, r.body.toString());
        if (r.status === 401) await t.session();
        await sleep(50);
      }
    } catch { ++history.unknown; await sleep(30 + random() * 100); }
  }
}
async function nemesis() {
  const end = Date.now() + seconds * 1000;
  while (Date.now() < end) {
    await sleep(300 + random() * 1500);
    const at = Math.floor(random() * shops.length);
    if (pg && random() < 0.35) { pg.restart(); ++history.restarts; continue; }
    await shops[at].kill(random() < 0.85 ? "SIGKILL" : "SIGTERM");
    ++history.kills;
    await sleep(random() * 200);
    for (let tries = 0; ; ++tries) {
      try { shops[at] = await new Shop({ db: pg?.db, dir: shops[at].dir, port: shops[at].port }).start(); break; } catch (e) { if (tries > 5) throw e; await sleep(500); }
    }
  }
  over = true;
}
await Promise.all([nemesis(), ...tablets.map(work)]);
await sleep(300);
let entries = 0;
/// The last fault may still be felt: 503 says try again, as it does to a tablet.
async function asked(t, target) {
  for (let tries = 0; ; ++tries) {
    const r = await t.call(target);
    if (r.status === 401) await t.session();
    else if (r.status !== 503 || tries > 40) return r;
    await sleep(100);
  }
}
for (const t of tablets) { // the judge reads everything back
  t.url = shops[0].url;
  const r = await asked(t, "/v1/heads");
  check("the head is told", r.status === 200, `${r.status} ${r.body}`);
  check("the head is ours", r.status === 200 && JSON.parse(r.body).heads[t.author][0] === t.seq && JSON.parse(r.body).heads[t.author][1] === t.prev, r.body.toString());
  for (let after = 0; after < t.seq;) {
    const lines = (await asked(t, `/v1/authors/${t.author}/entries?after=${after}&limit=200`)).body.toString().split("\n").slice(1, -1);
    check("something comes", lines.length > 0);
    if (!lines.length) break;
    lines.forEach((line, i) => { if (line + "\n" !== t.lines[after + i]) check(`entry ${after + i + 1} has its bytes`, false); });
    after += lines.length;
  }
  entries += t.seq;
}
for (const s of shops) await s.kill("SIGTERM");
const verified = spawnSync(process.env.CHOCKSIDE_SHOP, ["--data", shops[0].dir, ...(pg ? ["--db", pg.db] : []), "verify"], { encoding: "utf8" });
check("verify trusts nothing and finds nothing", verified.status === 0 && verified.stdout.includes(`${entries} entries`), verified.stdout + verified.stderr);
check("there were kills", history.kills + history.restarts > seconds / 6, JSON.stringify(history));
console.log(`${kind}, ${seconds} s, seed ${seed}: ${entries} entries, ${JSON.stringify(history)}`);
ended();
