// Backup, verify, damage found, restore under a new epoch: nothing that was sent is lost for good.
import { spawn, spawnSync } from "node:child_process";
import crypto from "node:crypto";
import fs from "node:fs";
import { Shop, Tablet, check, ended, sha256, sleep, temporary } from "./client.mjs";

const run = (...args) => spawnSync(process.env.CHOCKSIDE_SHOP, args, { encoding: "utf8", timeout: 30000 });
let shop = await new Shop().start();
const t = new Tablet(shop.url);
await t.enrol(await shop.first());
await t.session();
const lines = Array.from({ length: 20 }, (_, i) => t.entry("job-1", "note", { text: `entry ${i}` }));
await t.push(1, lines.slice(0, 12));
const blob = crypto.randomBytes(50000), name = sha256(blob).toString("hex");
await t.call("/v1/uploads", { method: "POST", body: blob, headers: { "tus-resumable": "1.0.0", "upload-length": "50000", "content-type": "application/offset+octet-stream", "upload-metadata": `sha256 ${Buffer.from(name).toString("base64")}` } });
check("a second receiver on the folder is refused", run("--data", shop.dir, "--listen", "127.0.0.1:0").stderr.includes("locked"));
await shop.kill("SIGTERM");
const beside = temporary("restore"), copy = `${beside}/copy`, back = `${beside}/back`;
let r = run("--data", shop.dir, "backup", copy);
check("backup", r.status === 0 && r.stdout.includes("12 entries, 1 blobs"), r.stdout + r.stderr);
check("not twice into one folder", run("--data", shop.dir, "backup", copy).status === 3);
shop = await new Shop({ dir: shop.dir, port: shop.port }).start();
let heads = JSON.parse((await t.call("/v1/heads")).body);
check("archived", heads.archive.size === 12 && heads.archive.what === "archive", heads);
const epoch = heads.epoch;
await t.push(13, lines.slice(12));
await shop.kill();
check("restore into a folder that holds something", run("--data", shop.dir, "restore", copy).status === 3);
r = run("--data", back, "restore", copy);
check("restore", r.status === 0 && r.stdout.includes("New epoch"), r.stdout + r.stderr);
shop = await new Shop({ dir: back, port: shop.port }).start();
r = await t.call("/v1/heads");
check("sessions did not come along", r.status === 401);
await t.session();
heads = JSON.parse((await t.call("/v1/heads")).body);
check("new epoch, old head", heads.epoch !== epoch && heads.heads[t.author][0] === 12, heads);
r = await t.push(13, lines.slice(12));
check("what it forgot comes again", r.status === 200 && JSON.parse(r.body).receipt.seq === 20, r.body.toString());
check("the blob came along", (await t.call(`/v1/blobs/${name}`, { method: "HEAD" })).status === 200);
await shop.kill("SIGTERM");
check("verify", run("--data", back, "verify").status === 0);
{ // Killed in the middle: it serves nobody until it was begun again and is whole.
  const many = 600, half = `${beside}/half`;
  for (let i = 0; i < many; ++i) { const bytes = crypto.randomBytes(100), sha = sha256(bytes).toString("hex"); fs.mkdirSync(`${copy}/blobs/${sha.slice(0, 2)}`, { recursive: true }); fs.writeFileSync(`${copy}/blobs/${sha.slice(0, 2)}/${sha}`, bytes); }
  const restoring = spawn(process.env.CHOCKSIDE_SHOP, ["--data", half, "restore", copy], { stdio: "ignore" });
  const gone = new Promise((done) => restoring.on("exit", (_, signal) => done(signal)));
  const here = () => { try { return fs.readdirSync(`${half}/blobs`, { recursive: true }).filter((name) => /[0-9a-f]{64}$/.test(name)).length; } catch { return 0; } };
  while (here() < 20 && restoring.exitCode === null) await sleep(2);
  restoring.kill("SIGKILL");
  check("killed in the middle", (await gone) === "SIGKILL" && here() < many, here());
  for (const command of [["--listen", "127.0.0.1:0"], ["verify"], ["backup", `${beside}/of-half`]]) {
    r = run("--data", half, ...command);
    check(`half restored, it is not opened to ${command[0]}`, r.status === 3 && r.stderr.includes("unfinished"), `${r.status} ${r.stderr}`);
  }
  r = run("--data", half, "restore", copy);
  check("begun again it is whole", r.status === 0 && here() === many + 1, r.stdout + r.stderr);
  shop = await new Shop({ dir: half, port: shop.port }).start();
  await t.session();
  heads = JSON.parse((await t.call("/v1/heads")).body);
  check("and has an epoch of its own", heads.epoch !== epoch && r.stdout.includes(heads.epoch) && heads.heads[t.author][0] === 12 && !heads.archive, heads);
  await shop.kill("SIGTERM");
  check("not a third time", run("--data", half, "restore", copy).status === 3);
}
// Damage anywhere is found.
const file = fs.readdirSync(`${back}/blobs/${name.slice(0, 2)}`)[0];
fs.appendFileSync(`${back}/blobs/${name.slice(0, 2)}/${file}`, "x");
r = run("--data", back, "verify");
check("a changed blob is found", r.status === 1 && r.stdout.includes(name), r.stdout);
fs.truncateSync(`${back}/blobs/${name.slice(0, 2)}/${file}`, 50000);
const sql = (text) => spawnSync("sqlite3", [`${back}/shop.db`, text], { encoding: "utf8" });
check("an entry can't be changed by SQL", sql("UPDATE entry SET job='other' WHERE seq=3").stderr.includes("entries stay") && sql("DELETE FROM entry WHERE seq=3").stderr.includes("entries stay"));
for (const damage of ["UPDATE entry SET envelope=CAST(replace(CAST(envelope AS TEXT),'\"person\":\"LK\"','\"person\":\"MB\"') AS BLOB) WHERE seq=7", "UPDATE entry SET body=CAST('{\"text\":\"other\"}' AS BLOB) WHERE seq=7", "DELETE FROM entry WHERE seq=20", "DELETE FROM entry WHERE seq=5",
  "UPDATE node SET digest=zeroblob(32) WHERE level=1 AND idx=2"]) {
  const was = fs.readFileSync(`${back}/shop.db`);
  const done = sql(`DROP TRIGGER entry_stays; DROP TRIGGER entry_fixed; ${damage}; PRAGMA wal_checkpoint(TRUNCATE);`);
  r = run("--data", back, "verify");
  if (!damage.includes("seq=20")) check(`found: ${damage.slice(0, 50)}`, r.status === 1, r.stdout + done.stderr);
  else check("a missing tail is seen by the tree of the log", r.status === 1, r.stdout + done.stderr);
  for (const end of ["-wal", "-shm"]) fs.rmSync(`${back}/shop.db${end}`, { force: true });
  fs.writeFileSync(`${back}/shop.db`, was);
}
ended();
