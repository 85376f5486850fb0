#pragma once
// Type sizes in pixels and weights: words in Inter, figures in B612, raw bytes and tags in B612 Mono.

#include <QObject>
#include <QtQml/qqmlregistration.h>

class QJSEngine;
class QQmlEngine;

namespace chockside::theme {

class Type : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_SINGLETON
    Q_PROPERTY(QString words READ words CONSTANT FINAL)
    Q_PROPERTY(QString figures READ figures CONSTANT FINAL)
    Q_PROPERTY(QString code READ code CONSTANT FINAL)
    Q_PROPERTY(int floor READ floor NOTIFY changed FINAL)
    Q_PROPERTY(int label READ label NOTIFY changed FINAL)
    Q_PROPERTY(int row READ row NOTIFY changed FINAL)
    Q_PROPERTY(int large_key READ large_key NOTIFY changed FINAL)
    Q_PROPERTY(int sentence READ sentence NOTIFY changed FINAL)
    Q_PROPERTY(int live READ live NOTIFY changed FINAL)
    Q_PROPERTY(int likelihood READ likelihood NOTIFY changed FINAL)
    Q_PROPERTY(int figure READ figure NOTIFY changed FINAL)
    Q_PROPERTY(int text_weight READ text_weight NOTIFY changed FINAL)
    Q_PROPERTY(int bold_weight READ bold_weight NOTIFY changed FINAL)
    Q_PROPERTY(int number_weight READ number_weight NOTIFY changed FINAL)

public:
    static Type* create(QQmlEngine*, QJSEngine*);
    Type();

    QString words() const { return QStringLiteral("Inter"); }
    QString figures() const;
    QString code() const { return QStringLiteral("B612 Mono"); }
    int floor() const { return px(3.3); }
    int label() const { return px(3.5); }
    int row() const { return px(3.8); }
    int large_key() const { return px(4.3); }
    int sentence() const; ///< stops growing at 145 %
    int live() const { return px(6.1); }
    int likelihood() const { return px(7.6); }
    int figure() const { return px(10.2); }
    int text_weight() const;
    int bold_weight() const;
    int number_weight() const;

signals:
    void changed();

private:
    static int px(double mm);
};

} // namespace chockside::theme
