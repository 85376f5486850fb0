#include "figure_font.h"

#include <QFile>
#include <QFontDatabase>
#include <QStandardPaths>
#include <QtEndian>

namespace chockside::theme {

namespace {

QByteArray file_of(const QString& name)
{
    QStringList places{":/chockside/fonts"};
    for (const QString& base : QStandardPaths::standardLocations(QStandardPaths::FontsLocation) + QStringList{"/usr/share/fonts"})
        places << base << base + "/opentype/b612" << base + "/truetype/b612";
    for (const QString& place : places)
        for (const char* ending : {".otf", ".ttf"})
            if (QFile file(place + '/' + name + ending); file.open(QIODevice::ReadOnly)) return file.readAll();
    return {};
}

/// Where the name table lies: OpenType 1.9, "Organization of an OpenType Font", table directory of 16-byte records after 12 bytes.
std::pair<qsizetype, qsizetype> name_table(const QByteArray& font)
{
    if (font.size() < 12) return {0, 0};
    const auto count = qFromBigEndian<quint16>(font.constData() + 4);
    for (qsizetype at = 12, i = 0; i < count && at + 16 <= font.size(); ++i, at += 16) {
        if (font.mid(at, 4) != "name") continue;
        const qsizetype from = qFromBigEndian<quint32>(font.constData() + at + 8), length = qFromBigEndian<quint32>(font.constData() + at + 12);
        if (from + length <= font.size()) return {from, length};
    }
    return {0, 0};
}

/// As long as the old name, so that no offset moves.
bool renamed(QByteArray& font)
{
    const auto [from, length] = name_table(font);
    if (length == 0) return false;
    QByteArray names = font.mid(from, length);
    names.replace(QByteArray("\0B\0006\0001\0002", 8), QByteArray("\0F\0006\0001\0002", 8));
    names.replace("B612", "F612");
    font.replace(from, length, names);
    return true;
}

QString load_faces()
{
    QString family;
    for (const char* face : {"B612-Regular", "B612-Bold"}) {
        QByteArray font = file_of(QLatin1String(face));
        if (font.isEmpty() || !renamed(font)) continue;
        const QStringList families = QFontDatabase::applicationFontFamilies(QFontDatabase::addApplicationFontFromData(font));
        if (!families.isEmpty()) family = families.first();
    }
    return family.isEmpty() ? QStringLiteral("B612") : family;
}

} // namespace

QString figure_family()
{
    static const QString family = load_faces();
    return family;
}

} // namespace chockside::theme
