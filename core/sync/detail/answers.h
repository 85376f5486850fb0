#pragma once

#include <core/sync/receive.h>

namespace chockside::sync::detail {

/// With the headers that every answer carries.
Answer answer_with(int status, std::string body, const char* media = "application/json");
Answer refusal(const Refusal&, int status);
Answer refusal(int status, const char* code, const char* what = "");
/// Of an error of the ledger: 507 where it is full, else 503.
Answer unavailable(const Problem&, int retry_after_s);

} // namespace chockside::sync::detail
