#include <platform/practice/client.h>

#include <array>
#include <cstring>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

namespace chockside::practice {

namespace {

constexpr int patience_ms = 5000;

} // namespace

Result<std::unique_ptr<Client>> Client::connect(const std::string& path)
{
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    if (path.empty() || path.size() >= sizeof address.sun_path) return fail("no_practice", path);
    std::memcpy(address.sun_path, path.c_str(), path.size());
    std::unique_ptr<Client> client(new Client);
    client->fd_ = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (client->fd_ < 0 || ::connect(client->fd_, reinterpret_cast<const sockaddr*>(&address), sizeof address) != 0) return fail("no_practice", path);
    return client;
}

Client::~Client()
{
    if (fd_ >= 0) close(fd_);
}

Result<json::Value> Client::ask(const json::Value& request)
{
    const std::string line = json::write(request) + "\n";
    for (std::size_t sent = 0; sent < line.size();) {
        const ssize_t n = send(fd_, line.data() + sent, line.size() - sent, MSG_NOSIGNAL);
        if (n <= 0) return fail("practice_gone");
        sent += static_cast<std::size_t>(n);
    }
    std::size_t end;
    while ((end = in_.find('\n')) == std::string::npos) {
        pollfd one{fd_, POLLIN, 0};
        if (poll(&one, 1, patience_ms) <= 0) return fail("practice_silent");
        std::array<char, 4096> chunk;
        const ssize_t n = recv(fd_, chunk.data(), chunk.size(), 0);
        if (n <= 0) return fail("practice_gone");
        in_.append(chunk.data(), static_cast<std::size_t>(n));
    }
    const std::string answer = in_.substr(0, end);
    in_.erase(0, end + 1);
    return json::read(answer);
}

} // namespace chockside::practice
