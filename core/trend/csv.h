#pragma once
// Samples as CSV (RFC 4180, lines end in CR LF): t_utc_ns,t_s,signal,value,unit,valid,raw. Point decimals; a value is the shortest text that reads
// back to the same double, NaN is an empty field; raw is hexadecimal.

#include <core/trend/query.h>

namespace chockside::trend {

/// Series after series, each in the order its samples came; `t_s` counts from `from_ns`. The sink takes pieces of text and may fail.
/// Codes: unknown_series and those of the sink.
Result<std::vector<Damage>> write_csv(const Trend&, std::span<const SeriesId>, std::int64_t from_ns, std::int64_t to_ns, const std::function<Status(std::string_view)>& sink);

} // namespace chockside::trend
