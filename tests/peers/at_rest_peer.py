"""at_rest_peer.py SAMPLE CLI: a store is opened without our program, by SQLite and libsodium's Python binding (python3-nacl), as
core/journal/at_rest.cpp and core/trust say it lies: the secret beside it, then a person's PIN. Every body and attachment must come out,
digests as signed; and the files hold none of their words in clear."""
import hashlib
import json
import pathlib
import sqlite3
import subprocess
import sys
import tempfile

from nacl import bindings
from nacl.bindings.crypto_secretstream import crypto_secretstream_xchacha20poly1305_state
from nacl.exceptions import CryptoError
from nacl.pwhash import argon2id

STEP = 1 << 40
WORDS = [b"Q4-RMP", b"Q4-TLN", b"heading 12", b"tab\\tand", b"Kestrel", b"NM-117", b"sketch of P9"]


def open_box(box, public, secret):
    return bindings.crypto_box_seal_open(box, public, secret)


def unseal(keys, about, sealed):
    number = int.from_bytes(sealed[:4], "little")
    return bindings.crypto_aead_xchacha20poly1305_ietf_decrypt(sealed[28:], about.encode(), sealed[4:28], keys[number])


def unseal_file(keys, data):
    assert data[:8] == b"chkseal1"
    state = crypto_secretstream_xchacha20poly1305_state()
    bindings.crypto_secretstream_xchacha20poly1305_init_pull(state, data[12:36], keys[int.from_bytes(data[8:12], "little")])
    at, plain, last = 36, b"", False
    while at < len(data):
        size = int.from_bytes(data[at:at + 4], "little")
        chunk, tag = bindings.crypto_secretstream_xchacha20poly1305_pull(state, data[at + 4:at + 4 + size])
        plain, at, last = plain + chunk, at + 4 + size, tag == bindings.crypto_secretstream_xchacha20poly1305_TAG_FINAL
    assert last
    return plain


def secret_of(folder, db):
    beside = folder / "data.key"
    if beside.exists():
        return beside.read_bytes()
    # A person's Ed25519 seed behind the PIN (Argon2id), its X25519 form opens the person's box.
    person = json.loads((folder / "people" / "LK.person").read_text())
    key = {k: bytes.fromhex(v) if isinstance(v, str) else v for k, v in person["key"].items()}
    pin = argon2id.kdf(32, b"480215", key["salt"], opslimit=key["passes"], memlimit=key["memory"])
    seed = bindings.crypto_aead_xchacha20poly1305_ietf_decrypt(key["box"], f"chockside/wrap/1 {key['passes']} {key['memory']}".encode(), key["nonce"], pin)
    public, whole = bindings.crypto_sign_seed_keypair(seed)
    assert public.hex() == person["public_key"]
    box, = db.execute("SELECT box FROM holder WHERE public_key=?", (person["public_key"],)).fetchone()
    return open_box(box, bindings.crypto_sign_ed25519_pk_to_curve25519(public), bindings.crypto_sign_ed25519_sk_to_curve25519(whole))


def read(folder):
    db = sqlite3.connect(folder / "journal.db")
    public, = db.execute("SELECT public_key FROM vault").fetchone()
    secret = secret_of(folder, db)
    assert bindings.crypto_scalarmult_base(secret) == public
    keys = {no: open_box(box, public, secret) for no, box in db.execute("SELECT no,box FROM data_key")}
    authors = dict(db.execute("SELECT no,id FROM author"))
    bodies = {}
    for number, envelope, body in db.execute("SELECT id,envelope,body FROM entry"):
        whole = unseal(keys, f"entry {authors[number // STEP]}/{number % STEP}", body)
        named = json.loads(envelope)["body_sha"]
        assert hashlib.sha256(b"body/1\0" + whole).hexdigest() == named
        bodies[number % STEP] = whole[32:].decode()
        for moved in (number + 1,):
            try:
                unseal(keys, f"entry {authors[number // STEP]}/{moved % STEP}", body)
                sys.exit("a body opens under another entry's number")
            except CryptoError:
                pass
    files = 0
    for path in (folder / "attachments").iterdir():
        assert hashlib.sha256(unseal_file(keys, path.read_bytes())).hexdigest() == path.name
        files += 1
    db.close()
    return bodies, files


def in_clear(folder):
    return [(path.name, word) for path in folder.rglob("*") if path.is_file() for word in WORDS if word in path.read_bytes()]


with tempfile.TemporaryDirectory() as place:
    for held in (False, True):
        folder = pathlib.Path(place) / f"store{held:d}"
        subprocess.run([sys.argv[1], folder] + (["--held"] if held else []), check=True)
        if (folder / "data.key").exists() == held:
            sys.exit("the secret lies beside a store that a PIN opens, or is missing where none does")
        if found := in_clear(folder):
            sys.exit(f"in clear: {found}")
        bodies, files = read(folder)
        lines = subprocess.run([sys.argv[2], "job", "export", "job", "--data", folder] + (["--person", "LK"] if held else []), input="480215\n", capture_output=True, text=True, check=True).stdout
        exported = [json.loads(line) for line in lines.splitlines()[1:]]
        if len(exported) != 4 or files != 1 or any(bodies[json.loads(e["envelope"])["seq"]] != e["body"] for e in exported):
            sys.exit("what is read by hand is not what is exported")
        if held:
            shut = subprocess.run([sys.argv[2], "job", "export", "job", "--data", folder, "--json"], capture_output=True, text=True)
            if "pin_needed" not in shut.stderr:
                sys.exit(f"a locked store exports: {shut.stdout}{shut.stderr}")
            wrong = subprocess.run([sys.argv[2], "job", "show", "job", "--data", folder, "--person", "LK", "--json"], input="000000\n", capture_output=True, text=True)
            if wrong.returncode != 1 or "wrong_pin" not in wrong.stderr:
                sys.exit(f"a wrong PIN: {wrong.stdout}{wrong.stderr}")
            told = json.loads(subprocess.run([sys.argv[2], "job", "verify", "--data", folder, "--json"], capture_output=True, text=True, check=True).stdout)
            if not told["ok"] or told["withheld"] != 5:
                sys.exit(f"a locked store verifies by its envelopes: {told}")
print("2 stores of 5 entries: read by hand, with the secret and with a PIN; nothing in clear")
