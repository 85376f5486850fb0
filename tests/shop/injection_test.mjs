// Strings that mean something to a database through every field that a tablet, a person or a stranger can fill; then the whole database is
// dumped by another reader (Python's sqlite3, psql) and compared with what was sent. Over SQLite and over PostgreSQL.
import { execFileSync, spawnSync } from "node:child_process";
import fs from "node:fs";
import { Shop, Tablet, check, ended, request, sha256, sleep, temporary } from "./client.mjs";
import { postgres } from "./postgres.mjs";

const acts = ["DROP TABLE entry", "DELETE FROM device", "UPDATE account SET role='keeper',open=1", "INSERT INTO account VALUES('evil','keeper',1,'x',0)", "CREATE TABLE evil(x TEXT)", "DELETE FROM entry", "UPDATE kept SET value='evil'", "INSERT INTO share VALUES('evil','evil')"];
const hostile = acts.flatMap((act) => [`'; ${act}; --`, `'); ${act}; --`, `"; ${act}; --`, `\\'; ${act}; --`, `$1; ${act}; --`]);
hostile.push("' OR '1'='1", "' OR 1=1 --", "\" OR \"\"=\"", "1 OR 1=1", "' UNION SELECT name,password,role,open,made FROM account --", "' AND (SELECT count(*) FROM account)>0 --", "%", "_", "%' --", "*", "a*b?[c]", "\\", "\\\\'", "''", "$$", "$f$", "$1", "?", "?1", ":a", "@a",
  "{evil}", "{\"evil\":1}", "NULL", "\u2019; DROP TABLE entry; --", "\u02bc OR 1=1", "\uff07 OR 1=1", "x'41'", "E'\\x27'", "/*", "*/", "--", ";", "\t';\n--", "COPY account TO '/tmp/evil'", "'||(SELECT password FROM account)||'", "'; SELECT pg_sleep(9); --", "' AND load_extension('evil') --",
  "'; ATTACH 'evil' AS e; --", "'; PRAGMA writable_schema=1; --", "'".repeat(50), "\u{1f6e9}'; --");
// Every string through SQLite; through PostgreSQL every third unless there is time.
const all_strings = hostile.splice(0);
const read_sqlite = `import json,sqlite3,sys
c=sqlite3.connect('file:'+sys.argv[1]+'?mode=ro',uri=True)
hexed=lambda v: 'hex:'+v.hex() if isinstance(v,bytes) else v
out={'schema':sorted([list(r) for r in c.execute("SELECT type,name,coalesce(sql,'') FROM sqlite_master")])}
for (t,) in c.execute("SELECT name FROM sqlite_master WHERE type='table'").fetchall():
    q=c.execute('SELECT * FROM "'+t+'"'); names=[d[0] for d in q.description]
    out[t]=[dict(zip(names,map(hexed,r))) for r in q]
print(json.dumps(out))`;

function dump(shop) {
  if (!shop.db) return JSON.parse(execFileSync("python3", ["-c", read_sqlite, `${shop.dir}/shop.db`], { encoding: "utf8", maxBuffer: 1 << 28 }));
  const psql = (sql) => execFileSync("psql", ["-XAtq", shop.db, "-c", sql], { encoding: "utf8", maxBuffer: 1 << 28 });
  const all = { schema: psql("SELECT relkind,relname FROM pg_class WHERE relnamespace='public'::regnamespace ORDER BY 1,2") + psql("SELECT tgname,tgenabled FROM pg_trigger WHERE NOT tgisinternal") + psql("SELECT proname,prosrc FROM pg_proc WHERE pronamespace='public'::regnamespace") + psql("SELECT rolname FROM pg_roles ORDER BY 1") };
  for (const table of psql("SELECT relname FROM pg_class WHERE relnamespace='public'::regnamespace AND relkind='r'").trim().split("\n"))
    all[table] = JSON.parse(psql(`SELECT coalesce(json_agg(t), '[]') FROM "${table}" t`), (_, v) => (typeof v === "string" && v.startsWith("\\x") && /^\\x([0-9a-f]{2})*$/.test(v) ? `hex:${v.slice(2)}` : v));
  return all;
}
const hex = (text) => `hex:${Buffer.from(text).toString("hex")}`;

async function through(name, db) {
  const dir = temporary("inject");
  const password = "keeper of the accounts";
  spawnSync(process.env.CHOCKSIDE_SHOP, ["--data", dir, ...(db ? ["--db", db] : []), "user", "keeper", "--role", "keeper"], { input: password + "\n" });
  const shop = await new Shop({ dir, db }).start();
  const first = await shop.first(), tablet = new Tablet(shop.url);
  await tablet.enrol(first, hostile[0]);
  await tablet.session();
  const form = { "content-type": "application/x-www-form-urlencoded" };
  const log_in = (n, p) => request(`${shop.url}/shop/login`, { method: "POST", body: new URLSearchParams({ name: n, password: p }).toString(), headers: form });
  const cookie = (await log_in("keeper", password)).headers["set-cookie"][0].split(";")[0];
  const get = (target) => request(shop.url + target, { headers: { cookie } });
  const form_token = /name="form_token" value="([0-9a-f]+)"/.exec((await get("/shop/")).body.toString())[1];
  const post = (target, fields) => request(shop.url + target, { method: "POST", body: new URLSearchParams({ form_token, ...fields }).toString(), headers: { ...form, cookie } });
  const before = dump(shop);
  const e = encodeURIComponent;

  // Through what a tablet writes.
  const sent = [];
  for (const [i, text] of hostile.entries()) {
    const job = i % 2 ? text : `job-${i}`, more = { person: text };
    for (const [kind, body] of [["opened", { tail: text, complaint: text, aircraft_type: text, complaint_kind: text, profile: text, practice: false }], [text, { [text]: text, text }], ["part", { off: { number: text, serial: text, reason: text }, on: { number: text, serial: text } }]])
      sent.push({ seq: tablet.seq + 1, job, text, kind, line: tablet.entry(job, kind, body, more), hash: tablet.prev });
  }
  for (let at = 0; at < sent.length; at += 100) {
    const r = await tablet.push(at + 1, sent.slice(at, at + 100).map((s) => s.line));
    check(`${name}: stored`, r.status === 200, r.body.toString().slice(0, 200));
  }
  // Through what a stranger or a tablet asks.
  let odd = 0, asked = 0;
  const no = async (answer) => { ++asked; const r = await answer.catch(() => ({ status: 0 })); if (r.status >= 500 || (r.status < 400 && r.status !== 303)) { ++odd; console.log(r.status, r.body?.toString().slice(0, 200)); } };
  const ok = async (answer) => { ++asked; const r = await answer; if (r.status >= 500) ++odd; return r; };
  let leaked = 0;
  const every = async (act) => { const rest = [...hostile]; await Promise.all(Array.from({ length: 8 }, async () => { for (let text; (text = rest.shift()) !== undefined;) await act(text); })); };
  await every(async (text) => {
    const clean = text.replace(/[^\x20-\x7e]/g, "?"), bearer = { authorization: `Bearer ${clean}` };
    await ok(tablet.call(`/v1/jobs?after=${e(text)}`));
    await ok(tablet.call(`/v1/heads?size=1&epoch=${e(text)}`));
    await ok(tablet.call(`/v1/authors/${tablet.author}/entries?after=0&job=${e(`${text} `)}`));
    await no(tablet.call(`/v1/authors/${e(text)}/entries?after=0`));
    await no(tablet.call(`/v1/authors/${tablet.author}/entries?after=${e(text)}`));
    await no(tablet.call(`/v1/blobs/${e(text)}`));
    await no(tablet.call(`/v1/uploads/${e(text)}`, { method: "HEAD", headers: { "tus-resumable": "1.0.0" } }));
    await no(tablet.call("/v1/uploads", { method: "POST", body: "", headers: { "tus-resumable": "1.0.0", "upload-length": "5", "upload-metadata": `sha256 ${Buffer.from(text).toString("base64")}` } }));
    await no(request(`${shop.url}/v1/heads`, { headers: bearer }));
    await no(tablet.call("/v1/session", { method: "POST", body: JSON.stringify({ author: text, nonce: text, proof: text, sent: 0 }) }));
    const r = await ok(get(`/shop/?q=${e(text)}&tail=${e(text)}&state=${e(text)}`));
    await ok(get(`/shop/aircraft?tail=${e(text)}`));
    await ok(get(`/shop/units?q=${e(text)}`));
    await ok(get(`/shop/jobs/${e(text)}`));
    await no(request(`${shop.url}/shop/`, { headers: { cookie: `shop=${clean.replace(/;/g, "")}` } }).then((a) => (a.status === 303 ? { status: 401 } : a)));
    if (r.body.toString().includes("argon") || r.body.toString().includes(password)) ++leaked;
  });
  for (const text of hostile.slice(0, 4)) await no(tablet.call("/v1/enrol", { method: "POST", body: JSON.stringify({ code: text, key: tablet.key, name: "x", proof: "0".repeat(128) }) }));
  for (const text of hostile.slice(0, 3)) check(`${name}: nobody is let in by ${text}`, !(await log_in(text, text)).headers["set-cookie"]);
  check(`${name}: ${asked} requests, none fails within or lets in`, odd === 0 && leaked === 0, `${odd} odd, ${leaked} leaked`);
  // Through what a person writes on the page.
  const accounts = [], titles = [], replies = [];
  await every(async (text) => {
    if ((await ok(post("/shop/assign", { device: tablet.author, tail: text, title: text, text }))).status === 303) titles.push(text);
    if ((await ok(post("/shop/jobs/job-0/reply", { text }))).status === 303) replies.push(text);
    await ok(post(`/shop/tablets/${e(text)}/revoke`, { why: text }));
    await ok(post("/shop/assign", { device: text, tail: text, title: text, text }));
    await ok(post(`/shop/people/${e(text)}`, { role: text, open: text }));
  });
  for (const text of hostile.slice(0, 3)) if ((await ok(post("/shop/people", { name: text, role: "reader", password: "long enough words" }))).status === 303) accounts.push(text);
  check(`${name}: what people wrote was taken`, titles.length > hostile.length / 2 && replies.length > hostile.length / 2, `${titles.length} ${replies.length}`);
  check(`${name}: the page's part: none fails within`, odd === 0, String(odd));
  await sleep(1500); // the index follows the log

  const after = dump(shop);
  check(`${name}: tables, indexes, triggers as before`, JSON.stringify(after.schema) === JSON.stringify(before.schema));
  const own = after.entry.filter((r) => r.author === tablet.author);
  check(`${name}: the chain is what was sent, entry by entry`, own.length === sent.length, `${own.length} of ${sent.length}`);
  const by_seq = new Map(own.map((r) => [r.seq, r]));
  let different = 0;
  for (const s of sent) {
    const r = by_seq.get(s.seq), [envelope, signature, salt, body] = s.line.replace(/\n$/, "").split("\t");
    const bytes = (v) => (v.startsWith("hex:") ? v : hex(v));
    const same = r && r.job === s.job && r.hash === s.hash && bytes(r.envelope) === hex(envelope) && bytes(r.body) === hex(body) && r.signature === `hex:${Buffer.from(signature, "base64").toString("hex")}` && r.salt === `hex:${Buffer.from(salt, "base64").toString("hex")}`;
    if (!same && ++different < 3) console.log(s.seq, s.text, JSON.stringify(r).slice(0, 600));
  }
  check(`${name}: job, hash and bytes of every entry`, different === 0, String(different));
  check(`${name}: one device, named as sent`, after.device.length === 1 && after.device[0].name === hostile[0] && after.device[0].revoked_at === before.device[0].revoked_at);
  check(`${name}: accounts are those that were made`, after.account.map((a) => [a.name, a.role].join("/")).sort().join("|") === ["keeper/keeper", ...accounts.map((a) => `${a}/reader`)].sort().join("|"), JSON.stringify(after.account.map((a) => [a.name, a.role])));
  check(`${name}: what is kept has the same names`, !JSON.stringify(after.kept.map((k) => k.value)).includes("evil") && before.kept.every((k) => after.kept.some((l) => l.key === k.key)));
  const jobs = new Set(sent.map((s) => s.job));
  const shops = after.entry.filter((r) => r.author !== tablet.author).map((r) => ({ job: r.job, envelope: Buffer.from(r.envelope.slice(4), "hex").toString(), body: JSON.parse(Buffer.from(r.body.slice(4), "hex")) }));
  const said = shops.filter((s) => s.body.title !== undefined), told = shops.filter((s) => s.body.title === undefined && s.body.text !== undefined);
  const squeezed = (t) => t.replace(/\s+/g, " ").trim();
  check(`${name}: write-ups word for word`, said.length === titles.length && titles.every((t) => said.some((s) => squeezed(s.body.title) === squeezed(t) && squeezed(s.body.text) === squeezed(t))), `${said.length} of ${titles.length}`);
  check(`${name}: replies word for word`, told.length === replies.length && replies.every((t) => told.some((s) => squeezed(s.body.text) === squeezed(t) && s.job === "job-0")), `${told.length} of ${replies.length}`);
  said.forEach((s) => jobs.add(s.job));
  check(`${name}: shares only of jobs that are there`, after.share.every((s) => s.device === tablet.author && jobs.has(s.job)), JSON.stringify(after.share.filter((s) => !jobs.has(s.job)).slice(0, 3)));
  const rows = after.job_row.filter((r) => sent.some((s) => s.job === r.job)), wrong_tail = rows.filter((r) => !sent.some((s) => s.job === r.job && r.tail.length >= Math.min(30, squeezed(s.text).length) && squeezed(s.text).startsWith(squeezed(r.tail))));
  check(`${name}: the index names each job's aircraft as it was sent, or its beginning`, rows.length === new Set(sent.map((s) => s.job)).size && wrong_tail.length === 0, `${rows.length} rows; ${JSON.stringify(wrong_tail.slice(0, 2))}`);
  check(`${name}: no file was made`, !fs.existsSync("/tmp/evil") && !fs.existsSync(`${dir}/evil`));
  await shop.kill("SIGTERM");
  console.log(`${name}: ${hostile.length} strings, ${asked} requests, ${own.length} entries compared`);
}

hostile.push(...all_strings);
await through("SQLite", undefined);
if (!process.env.CHOCKSIDE_LONG) hostile.splice(0, hostile.length, ...all_strings.filter((_, i) => i % 3 === 0));
await through("PostgreSQL", postgres().db);
ended();
