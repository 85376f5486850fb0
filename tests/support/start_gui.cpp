// Compiled into each program that needs fonts, images or screens: takes the place of the weak start() in test_main.cpp.
#include <tests/support/test_main.h>

#include <QGuiApplication>

#include <clocale>

namespace chockside::tests {

int start(int argc, char** argv);

int start(int argc, char** argv)
{
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QGuiApplication app(argc, argv);
    std::setlocale(LC_NUMERIC, "C"); // the application took the system's
    return run(argc, argv);
}

} // namespace chockside::tests
