#include <core/codec/plan.h>

#include <core/codec/detail/compiler.h>
#include <core/codec/detail/program.h>
#include <core/framing/framer.h>

#include <algorithm>

namespace chockside::codec {

const char* name_of(Validity v)
{
    switch (v) {
    case Validity::good: return "good";
    case Validity::failure_warning: return "failure_warning";
    case Validity::no_computed_data: return "no_computed_data";
    case Validity::functional_test: return "functional_test";
    case Validity::out_of_range: return "out_of_range";
    case Validity::invalid_code: return "invalid_code";
    }
    return "";
}

std::optional<SignalId> SignalTable::id(std::string_view name) const
{
    const auto found = ids_.find(std::string(name));
    return found == ids_.end() ? std::nullopt : std::optional(found->second);
}

SignalId SignalTable::add(Signal row)
{
    const auto id = static_cast<SignalId>(rows_.size());
    ids_.emplace(row.name, id);
    rows_.push_back(std::move(row));
    return id;
}

Plan::Plan() = default;
Plan::~Plan() = default;

Result<std::shared_ptr<const Plan>> Plan::compile(const profile::Unit& unit)
{
    const profile::Framing& f = unit.framing;
    if (f.max_bytes == 0 || f.max_bytes > 60000 || f.select_bytes < 0 || f.select_bytes > 4) return fail("framing_unsupported");
    if (f.checksum.kind == profile::Checksum::Kind::crc && !framing::is_crc(f.checksum.crc)) return fail("framing_unsupported");
    if (!detail::make_framer(unit)) return fail("framing_unsupported");
    std::shared_ptr<Plan> plan(new Plan);
    plan->program_ = std::make_unique<detail::Program>(unit);
    if (Status s = detail::Compiler(*plan->program_).run(); !s) return Unexpected{s.error()};
    return std::shared_ptr<const Plan>(std::move(plan));
}

const SignalTable& Plan::signal_table() const
{
    return program_->signals;
}

std::size_t Plan::worst_observations() const
{
    return program_->worst_observations;
}

const profile::Unit& Plan::unit() const
{
    return program_->unit;
}

namespace detail {

std::int64_t byte_ns(const profile::Line& l)
{
    const double bits = 1 + l.data_bits + (l.parity == "none" ? 0 : 1) + l.stop_bits;
    return static_cast<std::int64_t>(bits * 1e9 / std::max(1, l.rate));
}

std::unique_ptr<framing::Framer> make_framer(const profile::Unit& unit)
{
    using Kind = profile::Framing::Kind;
    const profile::Framing& f = unit.framing;
    switch (f.kind) {
    case Kind::slip: return framing::slip_reader(f.max_bytes);
    case Kind::cobs: return framing::cobs_reader(f.max_bytes);
    case Kind::lines: return f.end.empty() ? nullptr : framing::line_reader(f.max_bytes, f.start, f.end.back());
    case Kind::length_prefixed:
    case Kind::fixed: {
        if (f.kind == Kind::fixed && f.fixed_bytes == 0) return nullptr;
        if (f.length_bytes < 1 || f.length_bytes > 4) return nullptr;
        const std::size_t fixed = f.kind == Kind::fixed ? f.fixed_bytes : 0;
        const bool big = f.length_order.value_or(f.order) == profile::Order::big;
        return framing::sync_reader(f.max_bytes, {f.sync, fixed, f.length_at, f.length_bytes, big, f.length_adds});
    }
    case Kind::gap: return f.gap_ms > 0 ? framing::gap_reader(f.max_bytes, static_cast<std::int64_t>(f.gap_ms * 1e6)) : nullptr;
    }
    return nullptr;
}

} // namespace detail

} // namespace chockside::codec
