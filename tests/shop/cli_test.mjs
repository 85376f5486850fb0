// Both ends on one machine with practice data, in two commands: a whole practice job is worked by the rehearsal, `chockside-cli sync` brings it, the
// page shows it; then a second contact that has nothing to do. Once in clear on the loopback, once over TLS 1.3 with a certificate made here by
// openssl, and there: TLS 1.2, another key than the enrolment's and a key that changed later are refused. The shop's own limits hold throughout.
import { execFileSync, spawnSync } from "node:child_process";
import crypto from "node:crypto";
import fs from "node:fs";
import { Shop, check, ended, request, sleep, temporary } from "./client.mjs";

const out = temporary("cli");
const cli = (folder, ...args) => spawnSync(process.env.CHOCKSIDE_CLI, args, { encoding: "utf8", input: "480215\n", timeout: 120000, env: { ...process.env, QT_QPA_PLATFORM: "offscreen", XDG_RUNTIME_DIR: out, CHOCKSIDE_DATA: folder } });
const worked = cli(`${out}/data`, "rehearse", "--out", out, "--fault", "strap_open");
check("a practice job is worked", worked.status === 0, worked.stdout + worked.stderr);
fs.cpSync(`${out}/data`, `${out}/data-tls`, { recursive: true });

function certificate(name) {
  const made = { certificate: `${out}/${name}.crt`, key: `${out}/${name}.key` };
  execFileSync("openssl", ["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-subj", "/CN=throw-away", "-days", "1", "-keyout", made.key, "-out", made.certificate], { stdio: "ignore" });
  // RFC 7469, section 2.4, by another implementation than the shop's.
  made.pin = crypto.createHash("sha256").update(crypto.createPublicKey(fs.readFileSync(made.certificate)).export({ type: "spki", format: "der" })).digest("base64");
  return made;
}
const s_client = (port, version) => spawnSync("openssl", ["s_client", "-connect", `127.0.0.1:${port}`, version], { encoding: "utf8", input: "", timeout: 20000, env: { ...process.env, OPENSSL_CONF: "/dev/null" } });
const code_of = async (shop) => { for (let i = 0; i < 100 && !shop.out.includes("chockside-enrol:"); ++i) await sleep(20); return /chockside-enrol:\S+/.exec(shop.out)[0]; };

async function both_ends(folder, tls) {
  const how = tls ? " (TLS)" : "";
  const shop = await new Shop({ tls, own_limits: true }).start();
  const code = await code_of(shop);
  const sync = (more, to = shop.url) => cli(folder, "sync", "--to", to, "--folder", folder, "--json", ...more);
  if (tls) {
    const said = JSON.parse(Buffer.from(code.slice(16), "base64url"));
    check("the code has the certificate's pin", said.pins.join() === tls.pin && said.url.startsWith("https://"), said);
    const old = s_client(shop.port, "-tls1_2"), now = s_client(shop.port, "-tls1_3");
    check("TLS 1.2 is refused", old.status !== 0 && /alert protocol version/i.test(old.stderr) && !/Cipher is TLS|Cipher is ECDHE/.test(old.stdout), old.stdout + old.stderr);
    check("TLS 1.3 is not", now.status === 0 && /TLSv1\.3, Cipher is TLS_/.test(now.stdout), now.stdout + now.stderr);
    const wrong = `chockside-enrol:${Buffer.from(JSON.stringify({ ...said, pins: [certificate("other").pin] })).toString("base64url")}`;
    fs.cpSync(folder, `${out}/data-wrong`, { recursive: true });
    const refused = cli(`${out}/data-wrong`, "sync", "--to", shop.url, "--enrol", wrong, "--person", "LK", "--folder", `${out}/data-wrong`, "--json");
    const devices = async () => Number(/shop_devices (\d+)/.exec((await request(`${shop.url}/metrics`)).body.toString())[1]);
    check("another key than the code's: refused, and nothing was told", refused.status !== 0 && refused.stdout.includes('"at_shop":0') && refused.stdout.includes('"reason":"not_shop"') && (await devices()) === 0, refused.stdout + refused.stderr);
  }
  let r = sync(["--enrol", code, "--person", "LK"]);
  const said = (() => { try { return JSON.parse(r.stdout); } catch { return {}; } })();
  check(`everything is at the shop${how}`, r.status === 0 && said.entries > 50 && said.at_shop === said.entries, r.stdout + r.stderr);
  r = sync([]);
  check(`a second contact${how}`, r.status === 0, r.stdout + r.stderr);
  await sleep(1500);
  const cookie = (await request(`${shop.url}/shop/login`, { method: "POST", body: `name=keeper&password=${shop.password()}`, headers: { "content-type": "application/x-www-form-urlencoded" } })).headers["set-cookie"][0].split(";")[0];
  const list = (await request(`${shop.url}/shop/`, { headers: { cookie } })).body.toString();
  const job = /href="(\/shop\/jobs\/[^"]+)"/.exec(list)?.[1];
  check(`the list shows it, closed${how}`, Boolean(job) && list.includes("Q4-RMP") && list.includes("Closed") && list.includes("PRACTICE"), list.slice(0, 400));
  const page = (await request(shop.url + job, { headers: { cookie } })).body.toString();
  check(`the job's page: whole chain, finding, report${how}`, page.includes("chain whole") && page.includes("Isolated to") && page.includes("Aircraft entry"), page.slice(0, 300));
  check(`attachments are whole${how}`, page.includes(", whole") && !page.includes("arriving"));
  if (process.env.CHOCKSIDE_PICTURES) fs.writeFileSync(`${process.env.CHOCKSIDE_PICTURES}/practice.html`, page);
  await shop.kill("SIGTERM");
  if (!tls) return;
  const changed = await new Shop({ dir: shop.dir, port: shop.port, tls: certificate("later"), own_limits: true }).start();
  r = sync([]);
  check("a key that changed since the enrolment is refused", r.status !== 0 && r.stdout.includes('"reason":"not_shop"'), r.stdout + r.stderr);
  await changed.kill("SIGTERM");
}

/// PROTOCOL.md, "Without a network": the file as symbols, written here from the text (RFC 9285 for the data).
function symbols_of(file, chunk) {
  const digits = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:", upper = (bytes, n) => bytes.subarray(0, n).toString("hex").toUpperCase(), sha = (...parts) => { const h = crypto.createHash("sha256"); parts.forEach((p) => h.update(p)); return h.digest(); };
  const base45 = (b) => { let t = ""; for (let i = 0; i < b.length; i += 2) { let n = i + 1 < b.length ? b[i] * 256 + b[i + 1] : b[i]; for (let k = i + 1 < b.length ? 3 : 2; k > 0; --k) { t += digits[n % 45]; n = Math.floor(n / 45); } } return t; };
  const series = upper(sha(file), 8), total = Math.ceil(file.length / chunk);
  return Array.from({ length: total }, (_, i) => { const part = file.subarray(i * chunk, (i + 1) * chunk), head = `${series}:${i + 1}:${total}:`; return `CS1:${head}${upper(sha(head, part), 4)}:${base45(part)}`; });
}

/// One more job without a network: a file there, as file or as series, and the receipts back.
async function without_network(folder, as_series) {
  const how = as_series ? " (series)" : " (file)", shop = await new Shop().start();
  const first = cli(folder, "sync", "--to", shop.url, "--folder", folder, "--json", "--person", "LK", "--enrol", await code_of(shop));
  check(`introduced${how}`, first.status === 0, first.stdout + first.stderr);
  await shop.kill("SIGTERM");
  const again = cli(folder, "rehearse", "--out", folder.replace(/\/data$/, ""), "--fault", "strap_open");
  check(`another job${how}`, again.status === 0, again.stdout + again.stderr);
  const file = `${folder}/over.chockside`, receipts = `${folder}/back.receipts`;
  const carried = cli(folder, "sync", "--folder", folder, "--person", "LK", "--carry", file), range = /Entries (\d+) to (\d+)\./.exec(carried.stdout);
  check(`a file for what the shop has not${how}`, carried.status === 0 && range && Number(range[1]) === JSON.parse(first.stdout).at_shop + 1, carried.stdout + carried.stderr);
  const take = (path) => spawnSync(process.env.CHOCKSIDE_SHOP, ["--data", shop.dir, "take", path, "--receipts", receipts], { encoding: "utf8" });
  let given = file;
  if (as_series) {
    const symbols = symbols_of(fs.readFileSync(file), 600).reverse().concat("what another symbol says");
    fs.writeFileSync(given = `${folder}/lost`, symbols.slice(1).filter((s) => s !== symbols[0]).join("\n"));
    const lost = take(given);
    check("a lost symbol is named", lost.status === 3 && lost.stderr.includes(`missing: ${symbols[0].split(":")[2]}`), lost.stderr);
    fs.writeFileSync(given = `${folder}/read`, [...symbols, ...symbols.slice(0, 9)].join("\r\n"));
  } else {
    const changed = fs.readFileSync(file);
    changed[changed.length - 20] ^= 1;
    fs.writeFileSync(`${folder}/changed`, changed);
    check("a changed file is refused", take(`${folder}/changed`).status === 3);
  }
  const taken = take(given), twice = take(given);
  check(`the shop takes it, once and again${how}`, taken.status === 0 && twice.status === 0 && taken.stdout.includes(`here up to ${range?.[2]}`) && taken.stdout === twice.stdout, taken.stdout + taken.stderr);
  const back = cli(folder, "sync", "--folder", folder, "--json", "--receipts", receipts), told = JSON.parse(back.stdout || "{}");
  check(`the receipts hold${how}`, told.at_shop === told.entries && told.entries === Number(range?.[2]), back.stdout + back.stderr);
  const nothing = cli(folder, "sync", "--folder", folder, "--carry", `${folder}/none`);
  check(`nothing more to carry${how}`, nothing.status === 1 && !fs.existsSync(`${folder}/none`), nothing.stdout + nothing.stderr);
  await new Shop({ dir: shop.dir, port: shop.port }).start();
  const contact = cli(folder, "sync", "--to", shop.url, "--folder", folder, "--json", "--person", "LK");
  check(`the network goes on from there${how}`, contact.status === 0 && JSON.parse(contact.stdout).at_shop === told.entries, contact.stdout + contact.stderr);
}

for (const end of ["file", "series"]) fs.cpSync(`${out}/data`, `${out}/${end}/data`, { recursive: true });
await both_ends(`${out}/data`);
await both_ends(`${out}/data-tls`, certificate("shop"));
await without_network(`${out}/file/data`, false);
await without_network(`${out}/series/data`, true);
ended();
