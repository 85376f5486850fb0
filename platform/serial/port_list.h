#pragma once

#include <QString>

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
/// The port with this identity, if it is there now.
QString find_by_identity(const QString& identity);
QString identity_of(const QString& port);

/// A name as is, a path through its symbolic links.
QString resolved(const QString& typed);

} // namespace chockside::serial
