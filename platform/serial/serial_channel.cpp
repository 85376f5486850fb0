#include <platform/serial/serial_channel.h>

#include <platform/serial/port_list.h>

#include <QFile>
#include <QFileInfo>
#include <QTimer>

#include <ctime>
#include <fcntl.h>
#include <unistd.h>
#include <utility>

namespace chockside::serial {

namespace {

QSerialPort::Parity parity_of(const std::string& word)
{
    if (word == "odd") return QSerialPort::OddParity;
    if (word == "even") return QSerialPort::EvenParity;
    if (word == "mark") return QSerialPort::MarkParity;
    if (word == "space") return QSerialPort::SpaceParity;
    return QSerialPort::NoParity;
}

QSerialPort::StopBits stop_bits_of(double n)
{
    if (n > 1.75) return QSerialPort::TwoStop;
    return n > 1.25 ? QSerialPort::OneAndHalfStop : QSerialPort::OneStop;
}

/// By the rights that the process has now, as open() would judge.
bool may_use(const QString& path)
{
    return faccessat(AT_FDCWD, QFile::encodeName(path).constData(), R_OK | W_OK, AT_EACCESS) == 0;
}

} // namespace

std::int64_t boot_ns()
{
    timespec t{};
    clock_gettime(CLOCK_BOOTTIME, &t);
    return std::int64_t{t.tv_sec} * 1'000'000'000 + t.tv_nsec;
}

class SerialChannel::Held final : public link::Lease {
public:
    explicit Held(SerialChannel& owner) : owner_(&owner) {}
    ~Held() override
    {
        if (owner_) owner_->leased_ = nullptr;
    }
    Result<std::size_t> write(ByteView bytes) override
    {
        if (!owner_ || !owner_->port_) return fail("port_closed");
        const qint64 n = owner_->port_->write(reinterpret_cast<const char*>(bytes.data()), static_cast<qint64>(bytes.size()));
        return n < 0 ? Result<std::size_t>(fail("port_lost")) : Result<std::size_t>(static_cast<std::size_t>(n));
    }

private:
    QPointer<SerialChannel> owner_;
};

SerialChannel::SerialChannel(QString port, QObject* parent) : QObject(parent), name_(std::move(port)) {}

SerialChannel::~SerialChannel()
{
    sink_ = nullptr; // nobody to tell any more
    leased_ = nullptr;
}

void SerialChannel::configure(const profile::Line& line)
{
    port_->setPortName(resolved(name_));
    port_->setBaudRate(line.rate);
    port_->setDataBits(static_cast<QSerialPort::DataBits>(line.data_bits));
    port_->setParity(parity_of(line.parity));
    port_->setStopBits(stop_bits_of(line.stop_bits));
    port_->setFlowControl(QSerialPort::NoFlowControl);
    port_->setReadBufferSize(1 << 20);
}

Problem SerialChannel::opening_problem() const
{
    const std::string place = name_.toStdString(), said = port_->errorString().toStdString();
    const QString path = resolved(name_);
    const QFileInfo file(path.contains(QLatin1Char('/')) ? path : QStringLiteral("/dev/") + path);
    switch (port_->error()) {
    case QSerialPort::DeviceNotFoundError: return {"port_not_found", place, {}};
    case QSerialPort::PermissionError:
        // The same error stands for rights and for a port that somebody holds.
        return {may_use(file.filePath()) ? "port_busy" : "port_no_permission", place, {{"said", said}}};
    case QSerialPort::UnsupportedOperationError: return {"port_setting", place, {{"said", said}}};
    default: break;
    }
    if (!file.exists()) return {"port_not_found", place, {}};
    return {"port_failed", place, {{"said", said}}};
}

Status SerialChannel::open(const profile::Line& line, link::ByteSink& sink)
{
    if (sink_) close();
    port_ = std::make_unique<QSerialPort>();
    configure(line);
    if (!port_->open(QIODevice::ReadWrite)) {
        const Problem why = opening_problem();
        port_.reset();
        return Unexpected{why};
    }
    sink_ = &sink;
    hanging_up_ = false;
    connect(port_.get(), &QSerialPort::readyRead, this, &SerialChannel::read);
    connect(port_.get(), &QSerialPort::errorOccurred, this, &SerialChannel::on_error);
    (void)set_lines(line.dtr, line.rts);
    sink.event({link::LineEvent::Kind::opened, name_.toStdString()}, boot_ns());
    return {};
}

Status SerialChannel::set_lines(bool dtr, bool rts)
{
    if (!port_) return fail("port_closed", name_.toStdString());
    line_bits_ = 0;
    if (port_->setDataTerminalReady(dtr) && dtr) line_bits_ |= 0x10;
    if (port_->setRequestToSend(rts) && rts) line_bits_ |= 0x08;
    return {};
}

void SerialChannel::close()
{
    if (!port_) return;
    auto port = std::move(port_);
    port->disconnect(this);
    port->close();
    port.release()->deleteLater(); // may be inside one of its own signals
    link::ByteSink* sink = std::exchange(sink_, nullptr);
    leased_ = nullptr;
    if (sink) sink->event({hanging_up_ ? link::LineEvent::Kind::lost : link::LineEvent::Kind::closed, name_.toStdString()}, boot_ns());
}

Result<std::size_t> SerialChannel::write(ByteView bytes)
{
    if (!port_ || hanging_up_) return fail("port_closed", name_.toStdString());
    if (leased_) return fail("channel_leased", name_.toStdString());
    const qint64 n = port_->write(reinterpret_cast<const char*>(bytes.data()), static_cast<qint64>(bytes.size()));
    if (n < 0) return fail("port_lost", name_.toStdString());
    return static_cast<std::size_t>(n);
}

Result<std::unique_ptr<link::Lease>> SerialChannel::lease(link::ByteSink& sink)
{
    if (leased_) return fail("channel_leased", name_.toStdString());
    leased_ = &sink;
    return std::unique_ptr<link::Lease>(std::make_unique<Held>(*this));
}

void SerialChannel::read()
{
    const QByteArray got = port_->readAll();
    const std::int64_t t = boot_ns();
    if (!got.isEmpty() && target()) target()->bytes({reinterpret_cast<const std::byte*>(got.constData()), static_cast<std::size_t>(got.size())}, t);
}

/// After a hang-up the port reports the same error without end: the first one ends its life.
void SerialChannel::on_error(QSerialPort::SerialPortError error)
{
    if (error == QSerialPort::NoError || hanging_up_ || !sink_) return;
    if (error == QSerialPort::ReadError || error == QSerialPort::ResourceError || error == QSerialPort::WriteError) {
        hanging_up_ = true;
        port_->disconnect(this);
        QTimer::singleShot(0, this, &SerialChannel::hang_up);
        return;
    }
    if (error != QSerialPort::UnsupportedOperationError)
        sink_->event({link::LineEvent::Kind::info, port_->errorString().toStdString()}, boot_ns());
}

void SerialChannel::hang_up()
{
    if (hanging_up_) close();
}

} // namespace chockside::serial
