#include <platform/practice/pty.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>
#include <utility>

namespace chockside::practice {

namespace {

Unexpected<Problem> system_fault(const char* code, const std::string& place)
{
    return fail(code, place, {{"why", std::strerror(errno)}});
}

constexpr std::array<std::pair<speed_t, double>, 12> rates{{{B1200, 1200}, {B2400, 2400}, {B4800, 4800}, {B9600, 9600}, {B19200, 19200},
    {B38400, 38400}, {B57600, 57600}, {B115200, 115200}, {B230400, 230400}, {B460800, 460800}, {B500000, 500000}, {B921600, 921600}}};

bool is_link(const std::string& path)
{
    struct stat seen {};
    return lstat(path.c_str(), &seen) == 0 && S_ISLNK(seen.st_mode);
}

} // namespace

Result<std::unique_ptr<Pty>> Pty::open(const std::string& link)
{
    std::unique_ptr<Pty> pty(new Pty);
    pty->master_ = posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC | O_NONBLOCK);
    if (pty->master_ < 0 || grantpt(pty->master_) != 0 || unlockpt(pty->master_) != 0) return system_fault("pty_failed", link);
    std::array<char, 128> name{};
    if (ptsname_r(pty->master_, name.data(), name.size()) != 0) return system_fault("pty_failed", link);
    pty->slave_ = name.data();
    // Opened and closed once, so that the master tells from the start that nobody listens.
    const int slave = ::open(name.data(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    if (slave < 0) return system_fault("pty_failed", pty->slave_);
    close(slave);
    if (link.empty()) return pty;
    if (is_link(link)) unlink(link.c_str());
    if (symlink(name.data(), link.c_str()) != 0) return system_fault("pty_link", link);
    pty->link_ = link;
    return pty;
}

Pty::~Pty()
{
    if (!link_.empty() && is_link(link_)) unlink(link_.c_str());
    if (master_ >= 0) close(master_);
}

bool Pty::listened() const
{
    pollfd one{master_, POLLIN, 0};
    return poll(&one, 1, 0) >= 0 && !(one.revents & POLLHUP);
}

// On Linux the master's attributes are those of the slave, so the unit sees what its listener set.
double Pty::rate() const
{
    termios line{};
    if (tcgetattr(master_, &line) != 0) return 0;
    const speed_t speed = cfgetospeed(&line);
    for (const auto& [code, rate] : rates)
        if (code == speed) return rate;
    return 0;
}

Bytes Pty::read()
{
    Bytes got(4096);
    const ssize_t n = ::read(master_, got.data(), got.size());
    got.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
    return got;
}

std::size_t Pty::write(ByteView bytes)
{
    const ssize_t n = ::write(master_, bytes.data(), bytes.size());
    return n > 0 ? static_cast<std::size_t>(n) : 0;
}

} // namespace chockside::practice
