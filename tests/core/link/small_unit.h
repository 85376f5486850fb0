#pragma once
// The bundled practice unit, read from the tree, and decoded frames made by hand.

#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/profile/load.h>

#include <QFile>

#include <memory>

namespace chockside::tests {

inline std::shared_ptr<const codec::Plan> unit_plan()
{
    QFile f(QStringLiteral(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_2.unit.json"));
    if (!f.open(QIODevice::ReadOnly)) return nullptr;
    const auto loaded = profile::load_half(f.readAll().toStdString(), profile::Half::unit);
    const auto plan = codec::Plan::compile(loaded.profile.unit);
    return plan ? *plan : nullptr;
}

/// Encodes and decodes again, as the line would.
template <class F>
void deliver(const std::shared_ptr<const codec::Plan>& plan, codec::Decoder& decoder, const char* frame, const codec::FieldValues& values, std::int64_t t_ns, F sink)
{
    const auto bytes = codec::Encoder(plan).frame(frame, values);
    if (bytes) decoder.feed(*bytes, t_ns, sink);
}

} // namespace chockside::tests
