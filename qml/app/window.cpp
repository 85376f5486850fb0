#include "window.h"

#include "metrics.h"

#include <QQuickWindow>

namespace chockside::app {

QQuickWindow* load_window(QQmlApplicationEngine& engine, App& app, const QVariantMap& more)
{
    engine.addImportPath("qrc:/qt/qml");
    QVariantMap properties = more;
    properties.insert("app", QVariant::fromValue(&app));
    engine.setInitialProperties(properties);
    engine.load(QUrl("qrc:/qt/qml/Chockside/App/Main.qml"));
    if (engine.rootObjects().isEmpty()) return nullptr;
    auto* window = qobject_cast<QQuickWindow*>(engine.rootObjects().constLast());
    if (window) theme::Metrics::instance()->follow(window->screen());
    return window;
}

} // namespace chockside::app
