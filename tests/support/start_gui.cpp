// Compiled into each program that needs fonts, images or screens: takes the place of the weak start() in test_main.cpp.
#include <tests/support/test_main.h>

#include <QGuiApplication>

namespace chockside::tests {

int start(int argc, char** argv);

int start(int argc, char** argv)
{
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QGuiApplication app(argc, argv);
    return run(argc, argv);
}

} // namespace chockside::tests
