#include "glass.h"

#include <QCoreApplication>
#include <QElapsedTimer>
#include <QQuickItem>

#include <cstdio>

namespace chockside::screens {

namespace {

void note_warning(QtMsgType type, const QMessageLogContext&, const QString& text)
{
    // Qt 6.4's tap handler says so of a key whose page went away under the finger; nothing comes of it.
    if (text.startsWith("QObject::disconnect: Unexpected nullptr")) return;
    // Of its animations, where a window without a screen is resized under load.
    if (text.startsWith("QUnifiedTimer::stopAnimationDriver")) return;
    if (type != QtDebugMsg && type != QtInfoMsg) warnings().append(text);
    std::fprintf(stderr, "%s\n", qPrintable(text));
}

} // namespace

void without_a_display()
{
    for (const auto& [name, value] : {std::pair{"QT_QUICK_BACKEND", "software"}, std::pair{"QT_QPA_PLATFORM", "offscreen"}})
        if (!qEnvironmentVariableIsSet(name)) qputenv(name, value);
}

void settle(int ms)
{
    QElapsedTimer passed;
    passed.start();
    do QCoreApplication::processEvents(QEventLoop::AllEvents, 10);
    while (passed.elapsed() < ms);
}

QList<QQuickItem*> shown_in(QQuickItem* from, const std::function<bool(QQuickItem*)>& wanted)
{
    QList<QQuickItem*> found;
    if (!from->isVisible() || from->opacity() == 0) return found;
    if (wanted(from)) found.append(from);
    for (QQuickItem* child : from->childItems()) found.append(shown_in(child, wanted));
    return found;
}

void keep_warnings()
{
    qInstallMessageHandler(note_warning);
}

QStringList& warnings()
{
    static QStringList kept;
    return kept;
}

journal::Store* JournalBeside::open()
{
    if (!store_)
        if (auto store = journal::Store::open(disk_, clock_, random_, {folder_, true})) store_ = std::move(*store);
    return store_.get();
}

} // namespace chockside::screens
