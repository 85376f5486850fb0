#include <tests/support/test_main.h>

#include <QCoreApplication>

#include <clocale>
#include <cstdio>
#include <cstring>
#include <vector>

namespace chockside::tests {

namespace {

struct Named {
    const char* name;
    Maker maker;
};

std::vector<Named>& all()
{
    static std::vector<Named> tests;
    return tests;
}

int list()
{
    for (const Named& test : all()) std::puts(test.name);
    return all().empty() ? 1 : 0;
}

int run_matching(const char* wanted, std::vector<char*> arguments)
{
    int failed = 0, ran = 0;
    for (const Named& test : all()) {
        if (wanted && std::strcmp(wanted, test.name) != 0) continue;
        const auto object = test.maker();
        ++ran;
        failed += QTest::qExec(object.get(), static_cast<int>(arguments.size()), arguments.data());
    }
    if (ran == 0) std::puts("no test class of that name");
    return ran == 0 || failed ? 1 : 0;
}

} // namespace

bool add(const char* name, Maker maker)
{
    all().push_back({name, maker});
    return true;
}

int run(int argc, char** argv)
{
    std::vector<char*> arguments(argv, argv + argc);
    if (argc < 2) return run_matching(nullptr, arguments);
    if (std::strcmp(argv[1], "-list") == 0) return list();
    if (argv[1][0] == '-') return run_matching(nullptr, arguments);
    arguments.erase(arguments.begin() + 1);
    return run_matching(argv[1], arguments);
}

} // namespace chockside::tests

namespace chockside::tests {
/// Weak: a program that draws links start_gui.cpp instead.
__attribute__((weak)) int start(int argc, char** argv)
{
    QCoreApplication app(argc, argv);
    std::setlocale(LC_NUMERIC, "C"); // the application took the system's
    return run(argc, argv);
}
} // namespace chockside::tests

int main(int argc, char** argv)
{
    return chockside::tests::start(argc, argv);
}
