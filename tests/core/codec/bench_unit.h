#pragma once
// The bundled unit half, its plan, and decoded frames as plain text, for the tests of this room.

#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/profile/load.h>

#include <QFile>
#include <QString>

namespace chockside::tests {

inline std::string text_of(const char* path)
{
    QFile file(QString(CHOCKSIDE_SOURCE_DIR "/") + path);
    return file.open(QIODevice::ReadOnly) ? file.readAll().toStdString() : std::string();
}

inline const profile::Unit& bundled_unit()
{
    static const profile::LoadOutcome outcome = profile::load_half(text_of("assets/profiles/pru_2.unit.json"), profile::Half::unit);
    return outcome.profile.unit;
}

inline std::shared_ptr<const codec::Plan> bundled_plan()
{
    static const auto plan = codec::Plan::compile(bundled_unit());
    return plan ? *plan : nullptr;
}

inline const profile::Word& word_named(const std::string& name)
{
    for (const profile::Word& w : bundled_unit().words)
        if (w.name == name) return w;
    qFatal("no word %s", name.c_str());
}

/// "name value validity", texts as "name 'text'", one string a frame line.
inline std::vector<std::string> lines_of(const codec::FrameView& f, const codec::SignalTable& table)
{
    std::vector<std::string> out{"frame " + std::string(f.name)};
    for (const codec::Observation& o : f.observations)
        out.push_back(table[o.signal].name + " " + QString::number(o.value, 'g', 12).toStdString() + " " + codec::name_of(o.validity));
    for (const auto& [name, text] : f.texts) out.push_back(name + " '" + text + "'");
    return out;
}

} // namespace chockside::tests
