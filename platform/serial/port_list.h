#pragma once

#include <QString>
#include <QStringList>

#include <string>
#include <vector>

namespace chockside::serial {

struct PortInfo {
    QString name;         ///< ttyUSB0
    QString path;         ///< /dev/ttyUSB0
    QString adapter;      ///< as the adapter calls itself; may be empty
    QString maker, serial_number;
    int vendor = 0, product = 0; ///< USB ids, 0: not USB
    /// What stays the same when the adapter comes back under another name; empty where nothing does.
    QString identity() const;
};

/// Ports that the system lists. Pseudo-terminals and bridges are not among them: their path is typed.
std::vector<PortInfo> ports();
/// Paths of the ports with this identity that are there now; none for an empty one. Adapters without a serial number share theirs.
QStringList paths_of(const QString& identity);
/// Where the adapter that went away from `port` stands among the ports there are now: there again, or under a path that none of its kind had meanwhile (`others`).
/// Empty where it is not back. A port without an identity comes back under its own name only.
QString come_back(const std::vector<PortInfo>& now, const QString& port, const QString& identity, const QStringList& others);
QString identity_of(const QString& port);

/// A name as is, a path through its symbolic links.
QString resolved(const QString& typed);

} // namespace chockside::serial
