#include "window.h"

#include "figure_font.h"
#include "metrics.h"

#include <QFont>
#include <QGuiApplication>
#include <QQuickWindow>

namespace chockside::app {

QQuickWindow* load_window(QQmlApplicationEngine& engine, App& app, const QVariantMap& more)
{
    engine.addImportPath("qrc:/qt/qml");
    // Before any item exists: a new face or another size lays out every text that is there once more.
    theme::Metrics::instance()->follow(QGuiApplication::primaryScreen());
    theme::figure_family();
    QFont words("Inter");
    words.setPixelSize(13);
    words.setWeight(QFont::Medium);
    QGuiApplication::setFont(words);
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
