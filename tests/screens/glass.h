#pragma once
// The app's window as a test sees it: what is shown, what warned, what stands on the disk beside it.

#include <core/journal/store.h>
#include <core/trust/trust.h>
#include <platform/system/system.h>

#include <QList>
#include <QStringList>

#include <functional>
#include <memory>

class QQuickItem;

namespace chockside::screens {

/// Before the QGuiApplication: software rendering without a display, where nothing else was asked for.
void without_a_display();
/// Lets the app run for so long: an entry drops, a window takes its size.
void settle(int ms);
/// What is shown below `from` and wanted, parents first.
QList<QQuickItem*> shown_in(QQuickItem* from, const std::function<bool(QQuickItem*)>& wanted);

/// Warnings are kept from now on, and said on standard error.
void keep_warnings();
QStringList& warnings();

/// The journal read through a connection of its own, beside the app's.
class JournalBeside {
public:
    explicit JournalBeside(std::string folder) : folder_(std::move(folder)) {}
    /// Null where it cannot be opened.
    journal::Store* open();

private:
    std::string folder_;
    system::SystemDisk disk_;
    system::SystemClock clock_;
    trust::SystemRandom random_;
    std::unique_ptr<journal::Store> store_;
};

} // namespace chockside::screens
