// A shop as it grows: tablets push real signed entries over the wire, and at each size the pages are asked for. Sizes as arguments; a line of
// JSON for each. Times are for people to read, only counts are checked. `scale.mjs postgres 1000 ...` runs over PostgreSQL.
import http from "node:http";
import fs from "node:fs";
import { spawnSync } from "node:child_process";
import { postgres } from "./postgres.mjs";
import { Shop, Tablet, check, ended, request, sha256, sleep, temporary } from "./client.mjs";

const over_postgres = process.argv[2] === "postgres";
const sizes = process.argv.slice(over_postgres ? 3 : 2).map(Number), per_job = 25, views = process.env.CHOCKSIDE_LONG ? 60 : 8;
const count = Math.min(200, Math.ceil(sizes.at(-1) / 100)), batch = 150;
const dir = temporary("scale"), password = "keeper of the accounts";
const server = over_postgres ? postgres() : undefined, db = server?.db;
spawnSync(process.env.CHOCKSIDE_SHOP, ["--data", dir, ...(db ? ["--db", db] : []), "user", "keeper", "--role", "keeper"], { input: `${password}\n` });
const shop = await new Shop({ dir, db }).start();
const agent = new http.Agent({ keepAlive: true, maxSockets: 16 });

const form = { "content-type": "application/x-www-form-urlencoded" };
const login = await request(`${shop.url}/shop/login`, { method: "POST", body: `name=keeper&password=${encodeURIComponent(password)}`, headers: form });
const cookie = /shop=[0-9a-f]+/.exec(login.headers["set-cookie"][0])[0];
const get = (path) => request(shop.url + path, { headers: { cookie }, agent });
const token = /name="form_token" value="([0-9a-f]+)"/.exec((await get("/shop/")).body.toString())[1];
const tablets = [];
for (let i = 0; i < count; ++i) {
  const page = (await request(`${shop.url}/shop/tablets/code`, { method: "POST", body: `form_token=${token}`, headers: { ...form, cookie }, agent })).body.toString();
  const tablet = new Tablet(shop.url, agent);
  const enrolled = await tablet.enrol(JSON.parse(Buffer.from(/chockside-enrol:([\w-]+)/.exec(page)[1], "base64url")), `tablet ${i}`);
  if (enrolled.status !== 200 || (await tablet.session()).status !== 200) throw new Error("no tablet");
  tablets.push(tablet);
}
const bundle = (() => {
  const assets = process.env.CHOCKSIDE_ASSETS, main = fs.readFileSync(`${assets}/profiles/sandgrouse_12_pru_2.json`, "utf8"), v = JSON.parse(main), all = { main };
  for (const half of ["unit", "installation"]) if (v[half]?.use) all[`${v[half].use}.${half}`] = fs.readFileSync(`${assets}/profiles/${v[half].use}.${half}.json`, "utf8");
  return JSON.stringify(all);
})();
const profile = sha256(bundle).toString("hex");
const up = await tablets[0].call("/v1/uploads", { method: "POST", body: bundle, headers: { "tus-resumable": "1.0.0", "upload-length": String(Buffer.byteLength(bundle)), "content-type": "application/offset+octet-stream", "upload-metadata": `sha256 ${Buffer.from(profile).toString("base64")}` } });
check("the profile is here", up.status === 201, up.status);

let jobs = 0, sent = 0, bytes = 0;
const day = 86_400_000, causes = [["unit", "unit_input"], ["wiring", "sensor_chafed_w8"], ["contact", "bent_pin"], ["wiring", "shield_open_w7"]];
/// One whole job of 25 entries; 400 aircraft, 60 units that go round.
function job_of(tablet) {
  const n = jobs++, job = `scale-${n}`, began = Date.now() - 700 * day + n * 3_000_000 % (690 * day), at = (minutes) => ({ wall: began + minutes * 60_000 });
  const [kind, cause] = causes[n % causes.length];
  const lines = [tablet.entry(job, "opened", { tail: `Q4-${String(n % 400).padStart(3, "0")}`, complaint: `HDG ${n % 2 + 1} flags in a turn, job ${n}`, aircraft_type: "Sandgrouse 12", complaint_kind: "heading_flag", profile: "sandgrouse_12_pru_2", profile_sha: profile, practice: false, scale_milli: 1000, power: "on", departure_utc_ms: 0, decide_utc_ms: 0 }, { ...at(0), att: [profile] })];
  while (lines.length < per_job - 3) lines.push(tablet.entry(job, "note", { text: `Looked at connector ${lines.length} of place ${n % 30}, dry and locked` }, at(lines.length)));
  lines.push(tablet.entry(job, "finding", { advice: "isolated", class: kind, cause, p: "0.9" }, at(30 + n % 60)));
  lines.push(tablet.entry(job, "part", { off: { number: "PRU-2", serial: `S-${n % 60}`, reason: "heading flag" }, on: { number: "PRU-2", serial: `S-${(n + 7) % 60}` } }, at(100)));
  lines.push(tablet.entry(job, "closed", {}, at(120)));
  return lines;
}
const figure = async (name) => Number(new RegExp(`chockside_shop_${name} (\\d+)`).exec((await request(`${shop.url}/metrics`)).body.toString())[1]);
/// Of the shop's threads, ms: what it costs whatever else the machine does.
const cpu = () => fs.readdirSync(`/proc/${shop.process.pid}/task`).reduce((sum, t) => sum + Number(fs.readFileSync(`/proc/${shop.process.pid}/task/${t}/schedstat`, "utf8").split(" ")[0]), 0) / 1e6;
const percentile = (times, p) => times.sort((a, b) => a - b)[Math.min(times.length - 1, Math.floor(times.length * p))];
const pages = { home: () => "/shop/", job_once_more: (i) => `/shop/jobs/scale-${i % 4}`, job: (i) => `/shop/jobs/scale-${i * 37 % jobs}`, aircraft: () => "/shop/aircraft", unit: () => "/shop/units", fleet: () => "/shop/fleet", search: (i) => `/shop/?q=${["connector", "turn", `q4-${String(i % 400).padStart(3, "0")}`, `scale-${i}`][i % 4]}` };

const table = [];
for (const size of sizes) {
  let signing = 0, acks = [], at = 0;
  const began = performance.now(), before = sent, cpu_before = cpu(), server_before = server?.cpu();
  const worker = async () => {
    for (;;) {
      if (sent >= size) return;
      const tablet = tablets[at++ % count];
      if (tablet.busy) { await sleep(1); continue; }
      tablet.busy = true;
      const s = performance.now(), first = tablet.seq + 1, lines = [];
      while (lines.length < batch && sent + lines.length < size) lines.push(...job_of(tablet));
      sent += lines.length;
      signing += performance.now() - s;
      const t = performance.now(), r = await tablet.push(first, lines);
      acks.push(performance.now() - t);
      if (r.status !== 200) throw new Error(`${r.status} ${r.body}`);
      bytes += lines.reduce((n, l) => n + l.length, 0);
      for (const job of Object.keys(tablet.seen)) delete tablet.seen[job];
      tablet.busy = false;
    }
  };
  await Promise.all(Array.from({ length: 8 }, worker));
  const pushed = (performance.now() - began) / 1000, cpu_pushed = cpu(), server_pushed = server?.cpu();
  for (let i = 0; i < 6000; ++i) { // the index follows
    const text = (await get("/shop/fleet")).body.toString();
    if (text.includes(`<h1>${jobs} jobs.`)) break;
    await sleep(200);
  }
  const indexed = (performance.now() - began) / 1000, cpu_indexed = cpu();
  check(`all of ${size} are there`, await figure("entries") === sent, `${await figure("entries")} of ${sent}`);
  const row = { entries: sent, jobs, tablets: count, store: db ? "postgresql" : "sqlite", pushed_per_s: Math.round((sent - before) / pushed), pushed_per_s_without_signing: Math.round((sent - before) / (pushed - signing / 1000)), ack_p50_ms: percentile(acks, 0.5), ack_p99_ms: percentile(acks, 0.99), indexed_after_s: indexed, push_cpu_us_per_entry: (cpu_pushed - cpu_before) * 1000 / (sent - before), ...(server ? { push_server_cpu_us_per_entry: (server_pushed - server_before) * 1000 / (sent - before) } : {}), all_cpu_us_per_entry: (cpu_indexed - cpu_before) * 1000 / (sent - before), stored_bytes_per_entry: await figure("database_bytes") / sent, wire_bytes_per_entry: bytes / sent };
  for (const [name, path] of Object.entries(pages)) {
    const times = [], cpu_began = cpu();
    let length = 0;
    for (let i = 0; i < views; ++i) {
      const t = performance.now(), r = await get(path(i));
      times.push(performance.now() - t);
      length = r.body.length;
      check(`${name} at ${size}`, r.status === 200, r.status);
    }
    row[name] = { p50_ms: percentile(times, 0.5), p99_ms: percentile(times, 0.99), cpu_ms: (cpu() - cpu_began) / views, kB: Math.round(length / 1000) };
  }
  // The fleet's figures when one more job has come: what the view costs that meets it.
  const fresh = [];
  for (let i = 0; i < (views > 8 ? 6 : 2); ++i) {
    const tablet = tablets[i % count], first = tablet.seq + 1, lines = job_of(tablet);
    const r = await tablet.push(first, lines);
    check("one more job", r.status === 200, r.status);
    sent += lines.length;
    bytes += lines.reduce((n, l) => n + l.length, 0);
    for (let tries = 0; tries < 200; ++tries) {
      await sleep(50);
      const t = performance.now(), c = cpu(), text = (await get("/shop/fleet")).body.toString();
      if (!text.includes(`<h1>${jobs} jobs.`)) continue;
      fresh.push({ ms: performance.now() - t, cpu: cpu() - c });
      break;
    }
  }
  check("each was seen", fresh.length === (views > 8 ? 6 : 2), fresh.length);
  row.fleet_after_a_job = { p50_ms: percentile(fresh.map((f) => f.ms), 0.5), cpu_ms: percentile(fresh.map((f) => f.cpu), 0.5) };
  row.entries = sent;
  table.push(row);
  console.log(JSON.stringify(row, (k, v) => typeof v === "number" ? Math.round(v * 10) / 10 : v));
}
for (const name of [...Object.keys(pages), "fleet_after_a_job"]) // growth exponents: slope of log processor time over log size
  for (let i = 1; i < table.length; ++i) console.log(`${name}: exponent ${(Math.log(table[i][name].cpu_ms / table[i - 1][name].cpu_ms) / Math.log(table[i].entries / table[i - 1].entries)).toFixed(2)} from ${table[i - 1].entries} to ${table[i].entries}`);
check("a search finds its job", (await get(`/shop/?q=scale-${jobs - 1}`)).body.toString().includes(`/shop/jobs/scale-${jobs - 1}"`));
await shop.kill("SIGTERM");
ended();
