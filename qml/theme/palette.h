#pragma once
// The palette in use: one colour per token, changed as a whole by the theme key.

#include "tokens.h"

#include <QObject>
#include <QtQml/qqmlregistration.h>

class QJSEngine;
class QQmlEngine;

namespace chockside::theme {

class Palette : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_SINGLETON
    Q_PROPERTY(int light READ light WRITE set_light NOTIFY changed FINAL)
    Q_PROPERTY(bool sun READ is_sun NOTIFY changed FINAL)
    Q_PROPERTY(QString word READ word NOTIFY changed FINAL)
    Q_PROPERTY(QString icon READ icon NOTIFY changed FINAL)
    Q_PROPERTY(QColor keyEdge READ keyEdge NOTIFY changed FINAL)
    Q_PROPERTY(QColor sel READ sel NOTIFY changed FINAL)
    Q_PROPERTY(QColor onSel READ onSel NOTIFY changed FINAL)
    Q_PROPERTY(QColor foot READ foot NOTIFY changed FINAL)
    Q_PROPERTY(QColor line READ line NOTIFY changed FINAL)
    Q_PROPERTY(QColor tile READ tile NOTIFY changed FINAL)
    Q_PROPERTY(QColor onTile READ onTile NOTIFY changed FINAL)
    Q_PROPERTY(QColor ground READ ground NOTIFY changed FINAL)
    Q_PROPERTY(QColor panel READ panel NOTIFY changed FINAL)
    Q_PROPERTY(QColor sunk READ sunk NOTIFY changed FINAL)
    Q_PROPERTY(QColor ink READ ink NOTIFY changed FINAL)
    Q_PROPERTY(QColor ink2 READ ink2 NOTIFY changed FINAL)
    Q_PROPERTY(QColor edge READ edge NOTIFY changed FINAL)
    Q_PROPERTY(QColor record READ record NOTIFY changed FINAL)
    Q_PROPERTY(QColor onRecord READ onRecord NOTIFY changed FINAL)
    Q_PROPERTY(QColor recordInk READ recordInk NOTIFY changed FINAL)
    Q_PROPERTY(QColor recordSoft READ recordSoft NOTIFY changed FINAL)
    Q_PROPERTY(QColor good READ good NOTIFY changed FINAL)
    Q_PROPERTY(QColor onGood READ onGood NOTIFY changed FINAL)
    Q_PROPERTY(QColor goodInk READ goodInk NOTIFY changed FINAL)
    Q_PROPERTY(QColor amber READ amber NOTIFY changed FINAL)
    Q_PROPERTY(QColor onAmber READ onAmber NOTIFY changed FINAL)
    Q_PROPERTY(QColor amberInk READ amberInk NOTIFY changed FINAL)
    Q_PROPERTY(QColor amberSoft READ amberSoft NOTIFY changed FINAL)
    Q_PROPERTY(QColor stop READ stop NOTIFY changed FINAL)
    Q_PROPERTY(QColor onStop READ onStop NOTIFY changed FINAL)
    Q_PROPERTY(QColor stopInk READ stopInk NOTIFY changed FINAL)
    Q_PROPERTY(QColor stopBanner READ stopBanner NOTIFY changed FINAL)
    Q_PROPERTY(QColor onStopBanner READ onStopBanner NOTIFY changed FINAL)

public:
    static Palette* instance();
    static Palette* create(QQmlEngine*, QJSEngine*);

    int light() const { return static_cast<int>(light_); }
    /// 0 day, 1 sun, 2 night; others are taken as day.
    void set_light(int light);
    bool is_sun() const { return light_ == Light::sun; }
    QString word() const;
    QString icon() const;
    Q_INVOKABLE void next() { set_light((light() + 1) % 3); }
    QColor now(const QString& token) const { return colour(light_, token); }
    QColor keyEdge() const { return now(QStringLiteral("keyEdge")); }
    QColor sel() const { return now(QStringLiteral("sel")); }
    QColor onSel() const { return now(QStringLiteral("onSel")); }
    QColor foot() const { return now(QStringLiteral("foot")); }
    QColor line() const { return now(QStringLiteral("line")); }
    QColor tile() const { return now(QStringLiteral("tile")); }
    QColor onTile() const { return now(QStringLiteral("onTile")); }
    QColor ground() const { return now(QStringLiteral("ground")); }
    QColor panel() const { return now(QStringLiteral("panel")); }
    QColor sunk() const { return now(QStringLiteral("sunk")); }
    QColor ink() const { return now(QStringLiteral("ink")); }
    QColor ink2() const { return now(QStringLiteral("ink2")); }
    QColor edge() const { return now(QStringLiteral("edge")); }
    QColor record() const { return now(QStringLiteral("record")); }
    QColor onRecord() const { return now(QStringLiteral("onRecord")); }
    QColor recordInk() const { return now(QStringLiteral("recordInk")); }
    QColor recordSoft() const { return now(QStringLiteral("recordSoft")); }
    QColor good() const { return now(QStringLiteral("good")); }
    QColor onGood() const { return now(QStringLiteral("onGood")); }
    QColor goodInk() const { return now(QStringLiteral("goodInk")); }
    QColor amber() const { return now(QStringLiteral("amber")); }
    QColor onAmber() const { return now(QStringLiteral("onAmber")); }
    QColor amberInk() const { return now(QStringLiteral("amberInk")); }
    QColor amberSoft() const { return now(QStringLiteral("amberSoft")); }
    QColor stop() const { return now(QStringLiteral("stop")); }
    QColor onStop() const { return now(QStringLiteral("onStop")); }
    QColor stopInk() const { return now(QStringLiteral("stopInk")); }
    QColor stopBanner() const { return now(QStringLiteral("stopBanner")); }
    QColor onStopBanner() const { return now(QStringLiteral("onStopBanner")); }

signals:
    void changed();

private:
    // Not open to the engine, or it would make one of its own beside instance().
    Palette() = default;
    Light light_ = Light::day;
};

} // namespace chockside::theme
