#include <platform/serial/port_list.h>

#include <QFileInfo>
#include <QSerialPortInfo>

#include <algorithm>

namespace chockside::serial {

QString PortInfo::identity() const
{
    if (vendor == 0 && product == 0) return {};
    return QStringLiteral("%1:%2:%3").arg(vendor, 4, 16, QLatin1Char('0')).arg(product, 4, 16, QLatin1Char('0')).arg(serial_number);
}

std::vector<PortInfo> ports()
{
    std::vector<PortInfo> out;
    for (const QSerialPortInfo& info : QSerialPortInfo::availablePorts()) {
        PortInfo p{info.portName(), info.systemLocation(), info.description(), info.manufacturer(), info.serialNumber(), 0, 0};
        if (info.hasVendorIdentifier()) p.vendor = info.vendorIdentifier();
        if (info.hasProductIdentifier()) p.product = info.productIdentifier();
        out.push_back(p);
    }
    return out;
}

namespace {

QStringList of_kind(const std::vector<PortInfo>& now, const QString& identity)
{
    QStringList paths;
    for (const PortInfo& p : now)
        if (!identity.isEmpty() && p.identity() == identity) paths << p.path;
    return paths;
}

} // namespace

QStringList paths_of(const QString& identity)
{
    return of_kind(ports(), identity);
}

QString come_back(const std::vector<PortInfo>& now, const QString& port, const QString& identity, const QStringList& others)
{
    const QString name = resolved(port);
    const auto is_it = [&](const PortInfo& p) { return p.identity() == identity && (p.path == name || p.name == name); };
    if (identity.isEmpty() || std::any_of(now.begin(), now.end(), is_it)) return port;
    for (const QString& path : of_kind(now, identity))
        if (!others.contains(path)) return path;
    return {};
}

QString identity_of(const QString& port)
{
    const QString path = resolved(port);
    for (const PortInfo& p : ports())
        if (p.path == path || p.name == path) return p.identity();
    return {};
}

QString resolved(const QString& typed)
{
    if (!typed.contains(QLatin1Char('/'))) return typed;
    const QString real = QFileInfo(typed).canonicalFilePath();
    return real.isEmpty() ? typed : real;
}

} // namespace chockside::serial
