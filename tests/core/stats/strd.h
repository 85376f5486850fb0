#pragma once
// Reads the reference sets under tests/data/strd (see SOURCE.md there).

#include <QFile>
#include <QList>

#include <map>
#include <string>
#include <vector>

namespace chockside::tests {

struct Certified {
    std::vector<double> estimates, deviations;
    double residual_sum_of_squares = 0;
};

inline QList<QByteArray> lines_of(const std::string& name)
{
    QFile file(QString::fromStdString(CHOCKSIDE_SOURCE_DIR "/tests/data/strd/" + name + ".csv"));
    if (!file.open(QIODevice::ReadOnly)) qFatal("%s is not there", name.c_str());
    return file.readAll().trimmed().split('\n').mid(1);
}

inline std::vector<std::vector<double>> table_of(const std::string& name)
{
    std::vector<std::vector<double>> rows;
    for (const auto& line : lines_of(name)) {
        auto& row = rows.emplace_back();
        for (const auto& field : line.trimmed().split(',')) row.push_back(field.toDouble());
    }
    return rows;
}

inline Certified certified_of(const std::string& name)
{
    Certified c;
    for (const auto& line : lines_of("certified")) {
        const auto f = line.trimmed().split(',');
        if (f[0] != name.c_str()) continue;
        c.estimates.push_back(f[3].toDouble());
        c.deviations.push_back(f[4].toDouble());
        c.residual_sum_of_squares = f[5].toDouble();
    }
    return c;
}

} // namespace chockside::tests
