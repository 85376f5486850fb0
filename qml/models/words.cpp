#include "words.h"

#include <core/base/time.h>

#include <QCoreApplication>
#include <QDateTime>
#include <QLocale>

#include <algorithm>
#include <array>
#include <cmath>

namespace chockside::models {

namespace {

QString tr(const char* text) { return QCoreApplication::translate("words", text); }

const QChar no_break(0x00A0);

} // namespace

QString words(const std::string& text) { return QString::fromUtf8(text.data(), qsizetype(text.size())); }

QString mark_name(job::Mark mark)
{
    static constexpr std::array names{"good", "fail", "attn", "unver", "stop", "open", "closed", "collared", "tripped", "none", "run", "defer", "info"};
    const auto i = static_cast<std::size_t>(mark);
    return QLatin1String(i < names.size() ? names[i] : "none");
}

QString line_name(job::StageCell::Line line)
{
    static constexpr std::array names{"hollow", "solid", "gap", "here"};
    return QLatin1String(names[static_cast<std::size_t>(line) % names.size()]);
}

QString clock_hms(std::int64_t utc_ms) { return utc_ms ? QDateTime::fromMSecsSinceEpoch(utc_ms, Qt::UTC).toString("HH:mm:ss") : QString(); }

QString clock_hm(std::int64_t utc_ms) { return clock_hms(utc_ms).left(5); }

QString day_month(std::int64_t utc_ms) { return utc_ms ? QLocale(QLocale::English).toString(QDateTime::fromMSecsSinceEpoch(utc_ms, Qt::UTC).date(), "d MMM") : QString(); }

QString local_hm(std::int64_t utc_ms) { return utc_ms ? QDateTime::fromMSecsSinceEpoch(utc_ms).toLocalTime().toString("HH:mm") : QString(); }

QString span_text(std::int64_t ms)
{
    const auto minutes = std::max<std::int64_t>(0, ms / 60000);
    if (minutes < 60) return QString::number(minutes) + no_break + tr("min");
    return QString::number(minutes / 60) + no_break + tr("h") + no_break + QString::number(minutes % 60).rightJustified(2, '0');
}

QString countdown(double seconds)
{
    const auto s = static_cast<std::int64_t>(std::ceil(std::max(0.0, seconds)));
    if (s >= 3600) return QString::number(s / 3600) + no_break + tr("h") + no_break + QString::number(s / 60 % 60).rightJustified(2, '0');
    return QString::number(s / 60).rightJustified(2, '0') + ':' + QString::number(s % 60).rightJustified(2, '0');
}

QString signed_number(double value, int digits)
{
    if (!std::isfinite(value)) return QStringLiteral("--");
    const QString text = QString::number(std::abs(value), 'f', digits);
    const bool zero = text.toDouble() == 0;
    return zero ? text : (value < 0 ? QString(QChar(0x2212)) : QStringLiteral("+")) + text;
}

QString heading(double degrees)
{
    if (!std::isfinite(degrees)) return QStringLiteral("---");
    const auto whole = ((std::lround(degrees) % 360) + 360) % 360;
    return QString::number(whole).rightJustified(3, '0');
}

QString likelihood(double p, bool leading)
{
    const double percent = std::clamp(p, 0.0, 1.0) * 100;
    const QString text = percent < 0.95 ? QStringLiteral("<1") : percent >= 99.5 ? QStringLiteral(">99") : QString::number(std::lround(percent));
    return leading ? text + '%' : text;
}

QString factor(double times)
{
    if (!std::isfinite(times) || times <= 0) return QStringLiteral("--");
    const double strength = times >= 1 ? times : 1 / times;
    if (strength < 1.05) return tr("no help");
    const QString sign = times > 1 ? QString(QChar(0x00D7)) : QString(QChar(0x00F7));
    return sign + no_break + QString::number(strength, 'f', strength < 9.95 ? 1 : 0);
}

QString unit_sign(const std::string& unit)
{
    static const QHash<QString, QString> signs{{"ohm", "Ω"}, {"ohms", "Ω"}, {"Mohm", "MΩ"}, {"megohms", "MΩ"}, {"kohm", "kΩ"}, {"deg", "°"}, {"degrees", "°"}};
    const QString name = words(unit);
    return signs.value(name, name);
}

QString prose(const std::string& text)
{
    QString out = words(text);
    for (qsizetype i = 0; i + 1 < out.size(); ++i)
        if (out[i] == '-' && out[i + 1].isDigit() && (i == 0 || out[i - 1].isSpace() || out[i - 1] == '(')) out[i] = QChar(0x2212);
    return out;
}

QString lower_first(const QString& text)
{
    const bool label = text.size() > 1 && !text[1].isLower();
    return text.isEmpty() || label ? text : text[0].toLower() + text.mid(1);
}

QString upper_first(const QString& text) { return text.isEmpty() ? text : text[0].toUpper() + text.mid(1); }

QString counted(int n)
{
    static constexpr std::array names{"No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"};
    return n >= 0 && n < int(names.size()) ? tr(names[static_cast<std::size_t>(n)]) : QString::number(n);
}

QString entries_of(int n) { return n == 1 ? tr("1 entry") : tr("%1 entries").arg(n); }

} // namespace chockside::models
