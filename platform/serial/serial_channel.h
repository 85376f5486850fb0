#pragma once
// A real serial port. Names, typed paths and symbolic links are taken; everything is set before the port opens, since some drivers
// refuse or forget settings afterwards. A hang-up is reported once and closes the port.

#include <core/link/byte_channel.h>

#include <QObject>
#include <QPointer>
#include <QSerialPort>
#include <QString>

#include <cstdint>
#include <functional>
#include <memory>

namespace chockside::serial {

/// Boot-clock nanoseconds; a suspended machine goes on counting.
std::int64_t boot_ns();

class SerialChannel final : public QObject, public link::ByteChannel {
    Q_OBJECT
public:
    explicit SerialChannel(QString port, QObject* parent = nullptr);
    ~SerialChannel() override;

    void set_port(QString port) { name_ = std::move(port); }
    Status open(const profile::Line& line, link::ByteSink& sink) override;
    void close() override;
    bool is_open() const override { return sink_ != nullptr; }
    Result<std::size_t> write(ByteView bytes) override;
    Status set_lines(bool dtr, bool rts) override;
    Result<std::unique_ptr<link::Lease>> lease(link::ByteSink& sink) override;

    /// Line states as LINKTYPE_RTAC_SERIAL's bits where the port has such lines, else 0.
    std::uint8_t line_bits() const { return line_bits_; }

private:
    class Held;
    void configure(const profile::Line& line);
    void read();
    void on_error(QSerialPort::SerialPortError error);
    void hang_up();
    Problem opening_problem() const;
    link::ByteSink* target() const { return leased_ ? leased_ : sink_; }

    QString name_;
    std::unique_ptr<QSerialPort> port_;
    link::ByteSink* sink_ = nullptr;
    link::ByteSink* leased_ = nullptr;
    bool hanging_up_ = false;
    std::uint8_t line_bits_ = 0;
};

} // namespace chockside::serial
