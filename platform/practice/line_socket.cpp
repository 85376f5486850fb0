#include <platform/practice/line_socket.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

namespace chockside::practice {

namespace {

constexpr std::size_t longest_line = 64u << 10;
constexpr std::size_t most_speakers = 8;

std::string answered(const std::string& line, const LineSocket::Handler& handler)
{
    const auto request = json::read(line);
    if (request) return json::write(handler(*request)) + "\n";
    return json::write(json::Object{{"error", request.error().code}}) + "\n";
}

} // namespace

Result<std::unique_ptr<LineSocket>> LineSocket::listen(const std::string& path)
{
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    if (path.empty() || path.size() >= sizeof address.sun_path) return fail("socket_path", path);
    std::memcpy(address.sun_path, path.c_str(), path.size());
    std::unique_ptr<LineSocket> socket(new LineSocket);
    socket->fd_ = ::socket(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    if (struct stat there{}; lstat(path.c_str(), &there) == 0 && S_ISSOCK(there.st_mode)) unlink(path.c_str()); // of one that was killed
    if (socket->fd_ < 0 || bind(socket->fd_, reinterpret_cast<const sockaddr*>(&address), sizeof address) != 0 || ::listen(socket->fd_, 4) != 0)
        return fail("socket_failed", path, {{"why", std::strerror(errno)}});
    socket->path_ = path;
    return socket;
}

LineSocket::~LineSocket()
{
    for (const Speaker& speaker : speakers_) close(speaker.fd);
    if (fd_ >= 0) close(fd_);
    if (!path_.empty()) unlink(path_.c_str());
}

void LineSocket::add_to(std::vector<pollfd>& wanted) const
{
    wanted.push_back({fd_, POLLIN, 0});
    for (const Speaker& speaker : speakers_) wanted.push_back({speaker.fd, static_cast<short>(speaker.out.empty() ? POLLIN : POLLIN | POLLOUT), 0});
}

void LineSocket::serve(const Handler& handler)
{
    accept_all();
    for (Speaker& speaker : speakers_) {
        read_from(speaker, handler);
        write_to(speaker);
    }
    std::erase_if(speakers_, [](const Speaker& speaker) {
        if (speaker.gone) close(speaker.fd);
        return speaker.gone;
    });
}

void LineSocket::accept_all()
{
    for (;;) {
        const int fd = accept4(fd_, nullptr, nullptr, SOCK_NONBLOCK | SOCK_CLOEXEC);
        if (fd < 0) return;
        if (speakers_.size() < most_speakers) speakers_.push_back({fd, {}, {}, false});
        else close(fd);
    }
}

void LineSocket::read_from(Speaker& speaker, const Handler& handler)
{
    std::array<char, 4096> chunk;
    ssize_t n = 0;
    while ((n = recv(speaker.fd, chunk.data(), chunk.size(), 0)) > 0) speaker.in.append(chunk.data(), static_cast<std::size_t>(n));
    if (n == 0 || (n < 0 && errno != EAGAIN && errno != EINTR)) speaker.gone = true;
    std::size_t from = 0;
    for (std::size_t end; (end = speaker.in.find('\n', from)) != std::string::npos; from = end + 1)
        if (end > from) speaker.out += answered(speaker.in.substr(from, end - from), handler);
    speaker.in.erase(0, from);
    if (speaker.in.size() > longest_line) speaker.gone = true;
}

void LineSocket::write_to(Speaker& speaker)
{
    while (!speaker.out.empty()) {
        const ssize_t n = send(speaker.fd, speaker.out.data(), speaker.out.size(), MSG_NOSIGNAL);
        if (n < 0 && (errno == EAGAIN || errno == EINTR)) return;
        if (n <= 0) {
            speaker.gone = true;
            return;
        }
        speaker.out.erase(0, static_cast<std::size_t>(n));
    }
}

} // namespace chockside::practice
