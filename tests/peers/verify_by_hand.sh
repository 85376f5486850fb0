#!/usr/bin/env bash
# verify_by_hand.sh EXPORT: verifies a job's export with jq, xxd, sha256sum and openssl, and nothing of ours. Prints how many entries hold;
# ends with 1 and the line where one does not. The first line of an export names the authors' keys; each other line is an entry with the
# exact bytes of its envelope and body as text.
set -euo pipefail
file=$1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad() { echo "line $number: $1"; exit 1; }
hex() { xxd -r -p; }
digest() { sha256sum | cut -d' ' -f1; }
# An Ed25519 public key as openssl reads it: RFC 8410, 12 bytes of DER before the 32 of the key.
pem() { printf '302a300506032b6570032100%s' "$1" | hex | openssl pkey -pubin -inform DER -out "$2"; }
signed() { openssl pkeyutl -verify -pubin -inkey "$1" -rawin -in "$work/message" -sigfile "$work/signature" > "$work/said" 2>&1; }

number=1
while read -r author key; do
  # An author's id is the first 32 digits of the digest of its key.
  [ "$(printf %s "$key" | hex | digest | cut -c1-32)" = "$author" ] || bad "the key of $author"
  pem "$key" "$work/$author.pem"
done < <(head -n 1 "$file" | jq -r '.keys | to_entries[] | "\(.key) \(.value)"')

declare -A last_seq last_hash
held=0
while IFS= read -r line; do
  number=$((number + 1))
  for part in envelope body; do jq -j ".$part" <<< "$line" > "$work/$part"; done
  hash=$(jq -r .hash <<< "$line")
  IFS=$'\t' read -r author seq job person kind prev body_sha < <(jq -r '[.author, .seq, .job, .person, .kind, .prev, .body_sha] | map(if . == "" then "-" else . end) | @tsv' "$work/envelope")

  # 1. the hash is that of the envelope
  [ "$( (printf 'entry/1\0'; cat "$work/envelope") | digest)" = "$hash" ] || bad hash
  # 2. the envelope names the body by its salted digest
  [ "$( (printf 'body/1\0'; jq -r .salt <<< "$line" | hex; cat "$work/body") | digest)" = "$body_sha" ] || bad body
  # 3. the author's key signed the hash
  (printf 'chockside/entry/1\0'; printf %s "$hash" | hex) > "$work/message"
  jq -r .signature <<< "$line" | hex > "$work/signature"
  signed "$work/$author.pem" || bad signature
  # 4. an entry names the one before it (numbers between belong to other jobs)
  if [ "${last_seq[$author]:-}" = $((seq - 1)) ]; then [ "${last_hash[$author]}" = "$prev" ] || bad "the one before"; fi
  # 5. a sign-off carries a person's signature over what stood on the screen
  if [ "$kind" = sign ] && jq -e .key "$work/body" > /dev/null; then
    pem "$(jq -r .key "$work/body")" "$work/person.pem"
    (printf 'chockside/sign-off/1\0'; jq -cjS --arg job "$job" --arg person "$person" '{job: $job, person: $person, sign: del(.key, .signature)}' "$work/body") > "$work/message"
    jq -r .signature "$work/body" | hex > "$work/signature"
    signed "$work/person.pem" || bad "the person's signature"
  fi
  last_seq[$author]=$seq
  last_hash[$author]=$hash
  held=$((held + 1))
done < <(tail -n +2 "$file")
echo "$held entries hold."
