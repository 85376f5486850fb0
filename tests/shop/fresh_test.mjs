// What the page shows is what is there at that request: a new entry, a body and a profile that came late, a revocation. Each page is asked
// for before, so that whatever is kept between requests is kept. CHOCKSIDE_DB names a database; fresh_test.mjs postgres starts one.
import fs from "node:fs";
import { postgres } from "./postgres.mjs";
import { Shop, Tablet, check, ended, request, sha256, sleep } from "./client.mjs";

const shop = await new Shop({ db: process.argv[2] === "postgres" ? postgres().db : undefined }).start();
const tablet = new Tablet(shop.url);
await tablet.enrol(await shop.first(), "tablet 4");
await tablet.session();
const form = { "content-type": "application/x-www-form-urlencoded" };
const login = await request(`${shop.url}/shop/login`, { method: "POST", body: `name=keeper&password=${shop.password()}`, headers: form });
const cookie = login.headers["set-cookie"][0].split(";")[0];
const page = async (path) => (await request(shop.url + path, { headers: { cookie } })).body.toString();
const form_token = /name="form_token" value="([0-9a-f]+)"/.exec(await page("/shop/"))[1];
const post = (path, fields) => request(shop.url + path, { method: "POST", body: new URLSearchParams({ form_token, ...fields }).toString(), headers: { ...form, cookie } });
/// The index follows the log within seconds; the job's own page waits for nothing.
async function soon(what, path, holds) {
  for (let i = 0; i < 60; ++i) {
    if (holds(await page(path))) return check(what, true);
    await sleep(100);
  }
  check(what, false, "not within 6 s");
}
const job = async (holds, what) => { const text = await page("/shop/jobs/job-1"); check(what, holds(text), text.slice(text.indexOf("<main"), text.indexOf("<main") + 400)); };

const assets = process.env.CHOCKSIDE_ASSETS, main = fs.readFileSync(`${assets}/profiles/sandgrouse_12_pru_2.json`, "utf8"), v = JSON.parse(main), all = { main };
for (const half of ["unit", "installation"]) if (v[half]?.use) all[`${v[half].use}.${half}`] = fs.readFileSync(`${assets}/profiles/${v[half].use}.${half}.json`, "utf8");
const bundle = JSON.stringify(all), profile = sha256(bundle).toString("hex");
const opened = { tail: "Q4-TLN", complaint: "HDG 2 flags after rain", aircraft_type: "Sandgrouse 12", complaint_kind: "heading_flag", profile: "sandgrouse_12_pru_2", profile_sha: profile, practice: false, scale_milli: 1000, power: "on", departure_utc_ms: 0, decide_utc_ms: 0 };
const push = async (...lines) => { const r = await tablet.push(tablet.seq - lines.length + 1, lines); check("pushed", r.status === 200, r.body.toString()); };

const no_profile = "The profile of this job has not come yet";
await push(tablet.entry("job-1", "opened", opened, { att: [profile] }), tablet.entry("job-1", "note", { text: "Wing tip wet" }));
for (const look of [1, 2]) await job((t) => t.includes(no_profile) && t.includes("2 entries") && t.includes("Wing tip wet"), `without its profile, look ${look}`);
const begun = /class="state">.{0,400}?Begun/s;
await soon("the list has the job", "/shop/", (t) => begun.test(t));
const up = await tablet.call("/v1/uploads", { method: "POST", body: bundle, headers: { "tus-resumable": "1.0.0", "upload-length": String(Buffer.byteLength(bundle)), "content-type": "application/offset+octet-stream", "upload-metadata": `sha256 ${Buffer.from(profile).toString("base64")}` } });
check("the profile comes", up.status === 201, up.status);
await job((t) => !t.includes(no_profile) && t.includes("id=\"badge\">chain whole"), "with its profile, at once");
await soon("and in the list, though no entry came", "/shop/", (t) => t.includes("job-1") && !begun.test(t));
await soon("and among the fleet's", "/shop/fleet", (t) => t.includes("<h1>One job") || t.includes("<h1>1 job"));

await push(tablet.entry("job-1", "note", { text: "Connector P31 looked at" }));
await job((t) => t.includes("3 entries") && t.includes("Connector P31"), "a new entry, at once");
const withheld = tablet.entry("job-1", "note", { text: "Shield braid torn at frame seventeen" }), [envelope, signature] = withheld.split("\t");
await push(`${envelope}\t${signature}\t\t\n`);
for (const look of [1, 2]) await job((t) => t.includes("4 entries") && t.includes("(body not here)"), `an entry without its body, look ${look}`);
await soon("the index has followed", "/shop/?q=connector", (t) => t.includes("/shop/jobs/job-1"));
await sleep(1200);
check("no search finds what is not here", !(await page("/shop/?q=seventeen")).includes("/shop/jobs/job-1"));
check("the body comes", JSON.parse((await tablet.push(4, [withheld])).body).entries[0] === "duplicate");
await job((t) => t.includes("Shield braid torn") && !t.includes("(body not here)"), "a late body, at once");
await soon("and a search finds it, though no entry came", "/shop/?q=seventeen", (t) => t.includes("/shop/jobs/job-1"));

await push(tablet.entry("job-1", "finding", { advice: "isolated", class: "wiring", cause: "sensor_chafed_w8", p: "0.9" }));
await job((t) => t.includes("Isolated to "), "a finding, at once");
const many = await Promise.all(Array.from({ length: 24 }, (_, i) => page(i % 3 ? "/shop/jobs/job-1" : "/shop/jobs/job-2")));
check("many at once say the same", many.every((t, i) => i % 3 === 0 || t.includes("Isolated to ")));
check("a job that is not here", many[0].includes("There is no such job"));
check("what a lead says stands there at the next look", (await post("/shop/jobs/job-1/reply", { text: "Look at W8 first" })).status === 303 && (await page("/shop/jobs/job-1")).includes("Look at W8 first"));
check("revoked", (await post(`/shop/tablets/${tablet.author}/revoke`, { why: "lost" })).status === 303);
check("its next request is refused", (await tablet.call("/v1/heads")).status === 403);
check("its next upload is refused", (await tablet.call("/v1/uploads", { method: "POST", body: "", headers: { "tus-resumable": "1.0.0", "upload-length": "5", "upload-metadata": `sha256 ${Buffer.from("0".repeat(64)).toString("base64")}` } })).status === 403);
check("the page of tablets says so", /[Rr]evoked/.test(await page("/shop/tablets")));
await job((t) => t.includes("Isolated to "), "its job stays");
await shop.kill("SIGTERM");
ended();
