#pragma once
// One signed entry of a job. The envelope is what is hashed and signed; the body travels beside it and is named by a salted digest.

#include <core/base/json.h>
#include <core/base/random.h>
#include <core/base/result.h>

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace chockside::journal {

/// What a writer knew of a job: per author the last sequence number.
using Vector = std::map<std::string, std::int64_t>;

struct Envelope {
    int v = 1;
    std::string author;          ///< first 32 hex digits of SHA-256 of the public key
    std::int64_t seq = 0;        ///< dense from 1 for each author
    std::string prev;            ///< hash of the author's entry seq-1, empty for the first
    std::string job;
    Vector seen;                 ///< causal past within the job
    std::string kind;
    int schema = 1;
    std::string body_sha;        ///< hex
    std::vector<std::string> att; ///< digests of attachments, hex
    std::string person;          ///< id
    std::string meaning;         ///< what is signed, in words; empty where nothing is
    std::int64_t wall = 0;       ///< UTC, ms
    std::string boot;
    std::int64_t mono = 0;       ///< boot clock, ms
    json::Value clk;             ///< quality of the wall clock
};

struct Entry {
    Envelope envelope;
    std::string envelope_bytes;  ///< canonical JSON, exactly as signed
    std::string hash;            ///< hex of SHA-256("entry/1\0" || envelope_bytes)
    std::string signature;       ///< hex
    std::string salt;            ///< hex, 32 bytes
    std::string body_bytes;      ///< canonical JSON; empty when withheld
    json::Value body;
};

/// What a command wants written.
struct Draft {
    std::string kind;
    int schema = 1;
    json::Value body;
    std::vector<std::string> att;
    std::string person;
    std::string meaning;
};

/// True where `later` was written knowing `earlier` (same author: a higher sequence number).
bool knew(const Entry& later, const Entry& earlier);

/// Every entry after all that it knew of; free choices by (author, seq). Total also on a damaged set with circles.
std::vector<const Entry*> causal_order(const std::vector<Entry>&);

} // namespace chockside::journal
