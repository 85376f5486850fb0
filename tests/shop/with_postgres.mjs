// The protocol's test once more, over PostgreSQL.
import { postgres } from "./postgres.mjs";

process.env.CHOCKSIDE_DB = postgres().db;
await import("./protocol_test.mjs");
