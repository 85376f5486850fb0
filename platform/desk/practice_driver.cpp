#include <platform/desk/practice_driver.h>

namespace chockside::desk {

namespace {

constexpr int linger_s = 900; // an app that was killed comes back to the same aircraft within this time

QString pty_in(const QString& folder) { return folder + "/practice.port"; }
QString socket_in(const QString& folder) { return folder + "/practice.sock"; }

} // namespace

PracticeDriver::PracticeDriver(QObject* parent) : QObject(parent) {}

PracticeDriver::~PracticeDriver()
{
    stop();
}

void PracticeDriver::start(const QString& program, const QString& profile, const QString& folder, std::uint64_t seed, const QString& fault, double scale)
{
    stop();
    QStringList arguments{"practice", "--profile", profile, "--pty", pty_in(folder), "--socket", socket_in(folder), "--scale", QString::number(scale), "--seed", QString::number(seed), "--linger", QString::number(linger_s), "--json"};
    if (!fault.isEmpty()) arguments << "--fault" << fault;
    process_ = std::make_unique<QProcess>();
    process_->setProcessChannelMode(QProcess::ForwardedErrorChannel);
    connect(process_.get(), &QProcess::readyReadStandardOutput, this, &PracticeDriver::read_process);
    connect(process_.get(), &QProcess::errorOccurred, this, [this] { emit failed(process_->errorString()); });
    connect(process_.get(), &QProcess::finished, this, [this] {
        if (!socket_) emit failed("it ended before it was ready");
    });
    process_->start(program, arguments);
}

void PracticeDriver::stop()
{
    // One that was found standing is no child of ours: it is told.
    if (running() && !process_) {
        socket_->write("{\"end\":true}\n");
        socket_->waitForBytesWritten(500);
    }
    socket_.reset();
    waiting_.clear();
    where_ = {};
    if (!process_) return;
    process_->disconnect(this);
    process_->terminate();
    if (!process_->waitForFinished(1500)) process_->kill();
    process_.reset();
}

void PracticeDriver::read_process()
{
    while (process_ && process_->canReadLine()) {
        const auto line = json::read(process_->readLine().trimmed().toStdString());
        if (!line || !line->has("socket") || socket_) continue;
        connect_to(*line);
    }
}

void PracticeDriver::connect_to(const json::Value& where)
{
    where_ = where;
    socket_ = std::make_unique<QLocalSocket>();
    connect(socket_.get(), &QLocalSocket::readyRead, this, &PracticeDriver::read_socket);
    connect(socket_.get(), &QLocalSocket::connected, this, [this] { emit ready(where_); });
    connect(socket_.get(), &QLocalSocket::errorOccurred, this, [this] { emit failed(socket_ ? socket_->errorString() : QString()); });
    socket_->connectToServer(QString::fromStdString(where_["socket"].as_text()));
}

void PracticeDriver::attach(const QString& folder)
{
    stop();
    json::Value where(json::Object{});
    where.at("pty") = pty_in(folder).toStdString();
    where.at("socket") = socket_in(folder).toStdString();
    connect_to(where);
}

void PracticeDriver::ask(const json::Value& request, Answer answer)
{
    if (!running()) return;
    waiting_.push_back(std::move(answer));
    socket_->write(QByteArray::fromStdString(json::write(request)) + '\n');
}

void PracticeDriver::read_socket()
{
    while (socket_ && socket_->canReadLine()) {
        const auto value = json::read(socket_->readLine().trimmed().toStdString());
        if (waiting_.empty()) continue;
        const Answer answer = std::move(waiting_.front());
        waiting_.pop_front();
        if (answer) answer(value ? *value : json::Value());
    }
}

} // namespace chockside::desk
