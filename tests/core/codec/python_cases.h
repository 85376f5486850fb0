#pragma once
// Cases as the Python programs of tests/data print them: one JSON object a line.

#include <core/codec/decoder.h>
#include <core/codec/encoder.h>

#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QProcess>

namespace chockside::tests {

inline QList<QJsonObject> python_cases(const char* program, const QString& argument = {})
{
    QProcess python;
    python.start("python3", {QString(CHOCKSIDE_SOURCE_DIR "/") + program, argument.isEmpty() ? QStringLiteral("1") : argument});
    if (!python.waitForFinished(300000) || python.exitCode() != 0) qFatal("%s", python.readAllStandardError().constData());
    QList<QJsonObject> out;
    for (const QByteArray& line : python.readAllStandardOutput().split('\n'))
        if (!line.isEmpty()) out.push_back(QJsonDocument::fromJson(line).object());
    return out;
}

inline codec::FieldValues values_of(const QJsonObject& given);

inline codec::FieldValue value_of(const QJsonValue& v)
{
    if (v.isString()) return v.toString().toStdString();
    if (v.isDouble()) return v.toDouble();
    if (v.isObject()) {
        std::vector<std::uint32_t> words;
        for (const QJsonValue& w : v["words"].toArray()) words.push_back(static_cast<std::uint32_t>(w.toDouble()));
        return words;
    }
    std::vector<codec::FieldValues> groups;
    for (const QJsonValue& g : v.toArray()) groups.push_back(values_of(g.toObject()));
    return groups;
}

inline codec::FieldValues values_of(const QJsonObject& given)
{
    codec::FieldValues out;
    for (auto it = given.begin(); it != given.end(); ++it) out.emplace(it.key().toStdString(), value_of(it.value()));
    return out;
}

/// Empty where the frame shows what the case says it shows.
inline QString difference_of(const codec::Plan& plan, const codec::FrameView& f, const QJsonObject& c)
{
    const QJsonArray see = c["see"].toArray(), texts = c["texts"].toArray();
    std::size_t i = 0;
    for (const codec::Observation& o : f.observations) {
        const QString name = QString::fromStdString(plan.signal_table()[o.signal].name);
        if (name == "f.address") continue;
        const QJsonArray want = see.at(qsizetype(i++)).toArray();
        if (want.at(0).toString() != name) return name + " instead of " + want.at(0).toString();
        const double value = want.at(1).toDouble();
        if (!(std::fabs(value - o.value) <= 1e-12 * std::fabs(value) + 1e-300)) return name + " " + QString::number(o.value, 'g', 17);
        if (o.validity != codec::Validity::good) return name + " " + codec::name_of(o.validity);
    }
    if (i != std::size_t(see.size())) return "too few signals";
    if (qsizetype(f.texts.size()) != texts.size()) return "other texts";
    for (qsizetype k = 0; k < texts.size(); ++k)
        if (QString::fromStdString(f.texts[std::size_t(k)].second) != texts.at(k).toArray().at(1).toString()) return "text";
    return {};
}

} // namespace chockside::tests
