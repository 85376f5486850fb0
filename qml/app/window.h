#pragma once

#include "app.h"

#include <QQmlApplicationEngine>

class QQuickWindow;

namespace chockside::app {

/// Loads Main.qml with `app` and gives its window, or null where it did not load.
QQuickWindow* load_window(QQmlApplicationEngine& engine, App& app, const QVariantMap& more = {});

} // namespace chockside::app
