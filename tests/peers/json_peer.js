// Reads "loose TAB canonical" lines; writes how many agreed, or the first that did not and ends with 1.
"use strict"

function canonical(value) {
    if (Array.isArray(value)) return "[" + value.map(canonical).join(",") + "]"
    if (value === null || typeof value !== "object") return JSON.stringify(value)
    return "{" + Object.keys(value).sort().map(key => JSON.stringify(key) + ":" + canonical(value[key])).join(",") + "}"
}

const lines = require("readline").createInterface({input: process.stdin, crlfDelay: 0})
let agreed = 0
lines.on("line", line => {
    const [loose, ours] = line.split("\t")
    const theirs = canonical(JSON.parse(loose))
    if (theirs !== ours) {
        console.log(`in    ${loose}\nours  ${ours}\npeer  ${theirs}`)
        process.exit(1)
    }
    ++agreed
})
lines.on("close", () => console.log(agreed))
