#include <tests/support/test_main.h>

#include <QCoreApplication>

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

} // namespace

bool add(const char* name, Maker maker)
{
    all().push_back({name, maker});
    return true;
}

int run(int argc, char** argv)
{
    int failed = 0, ran = 0;
    for (const Named& test : all()) {
        if (argc > 1 && argv[1][0] != '-' && std::strcmp(argv[1], test.name) != 0) continue;
        const auto object = test.maker();
        std::vector<char*> arguments(argv, argv + argc);
        if (argc > 1 && argv[1][0] != '-') arguments.erase(arguments.begin() + 1);
        ++ran;
        failed += QTest::qExec(object.get(), static_cast<int>(arguments.size()), arguments.data());
    }
    if (ran == 0) std::puts("no test class of that name");
    return ran == 0 || failed ? 1 : 0;
}

} // namespace chockside::tests

namespace chockside::tests {
__attribute__((weak)) int start(int argc, char** argv)
{
    QCoreApplication app(argc, argv);
    return run(argc, argv);
}
} // namespace chockside::tests

int main(int argc, char** argv)
{
    return chockside::tests::start(argc, argv);
}
