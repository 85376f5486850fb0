// A PostgreSQL of the test's own, on loopback, in a temporary folder.
import { execFileSync } from "node:child_process";
import fs from "node:fs";

export function postgres() {
  const bin = "/usr/lib/postgresql/15/bin", dir = fs.mkdtempSync("/tmp/shop-pg-"), port = 10000 + Math.floor(Math.random() * 10000), root = process.getuid() === 0;
  const as = (...command) => execFileSync(root ? "runuser" : command[0], root ? ["-u", "postgres", "--", ...command] : command.slice(1), { stdio: "pipe", cwd: "/tmp" });
  if (root) execFileSync("chown", ["postgres", dir]);
  as(`${bin}/initdb`, "-D", `${dir}/db`, "--locale=C", "-E", "UTF8", "-A", "trust", "-U", "postgres");
  const start = () => as(`${bin}/pg_ctl`, "-D", `${dir}/db`, "-w", "-l", `${dir}/log`, "-o", `-p ${port} -k ${dir} -c listen_addresses=127.0.0.1`, "start");
  const stop = (mode) => as(`${bin}/pg_ctl`, "-D", `${dir}/db`, "-m", mode, "stop");
  start();
  process.on("exit", () => { try { stop("immediate"); } catch { /* it is down */ } fs.rmSync(dir, { recursive: true, force: true }); });
  /// Of its server and all that it started and that still run, ms.
  const cpu = () => {
    const head = Number(fs.readFileSync(`${dir}/db/postmaster.pid`, "utf8").split("\n")[0]);
    let ms = 0;
    for (const pid of fs.readdirSync("/proc").filter((name) => /^\d+$/.test(name))) {
      try {
        const parent = Number(fs.readFileSync(`/proc/${pid}/stat`, "utf8").split(") ")[1].split(" ")[1]);
        if (Number(pid) === head || parent === head) ms += Number(fs.readFileSync(`/proc/${pid}/schedstat`, "utf8").split(" ")[0]) / 1e6;
      } catch { /* it ended meanwhile */ }
    }
    return ms;
  };
  return { db: `postgresql://postgres@127.0.0.1:${port}/postgres`, cpu, restart: () => { stop("immediate"); start(); } };
}
