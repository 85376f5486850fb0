#include <platform/cli/pin.h>

#include <platform/words/words.h>

#include <cstdio>
#include <iostream>
#include <termios.h>
#include <unistd.h>

namespace chockside::cli {

namespace {

/// The terminal shows nothing while this lives.
class Unseen {
public:
    Unseen() : is_terminal_(::isatty(STDIN_FILENO) && ::tcgetattr(STDIN_FILENO, &before_) == 0)
    {
        if (!is_terminal_) return;
        termios silent = before_;
        silent.c_lflag &= ~static_cast<tcflag_t>(ECHO);
        (void)::tcsetattr(STDIN_FILENO, TCSAFLUSH, &silent);
    }
    ~Unseen()
    {
        if (is_terminal_) (void)::tcsetattr(STDIN_FILENO, TCSAFLUSH, &before_);
    }
    Unseen(const Unseen&) = delete;
    Unseen& operator=(const Unseen&) = delete;
    bool is_terminal() const { return is_terminal_; }

private:
    termios before_{};
    bool is_terminal_;
};

} // namespace

std::string ask_pin(const char* prompt)
{
    const Unseen unseen;
    if (unseen.is_terminal()) std::fprintf(stderr, "%s: ", prompt);
    std::string pin;
    std::getline(std::cin, pin);
    if (unseen.is_terminal()) std::fputc('\n', stderr);
    return pin;
}

Result<trust::KeyPair> key_of(Disk& disk, const Clock& clock, Random& random, const std::string& folder, const std::string& person)
{
    people::People people(disk, clock, random, folder + "/people");
    std::string pin = ask_pin(("PIN of " + person).c_str());
    auto key = people.key(person, pin);
    trust::wipe(std::as_writable_bytes(std::span(pin)));
    return key;
}

void tell_anew(const journal::Store& store, std::ostream& error)
{
    if (!store.began_anew().empty()) error << words::line({store.began_anew(), "store", {}}) << '\n';
}

} // namespace chockside::cli
