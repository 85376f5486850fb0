#pragma once
// Sizes on the glass. Everything is laid out in millimetres; `mm` is what turns them into pixels.

#include <QObject>
#include <QtQml/qqmlregistration.h>

class QJSEngine;
class QQmlEngine;
class QScreen;

namespace chockside::theme {

class Metrics : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_SINGLETON
    Q_PROPERTY(double mm READ mm NOTIFY changed FINAL)
    Q_PROPERTY(double text_scale READ text_scale NOTIFY changed FINAL)
    Q_PROPERTY(bool big READ big NOTIFY changed FINAL)
    Q_PROPERTY(bool left_hand READ left_hand NOTIFY changed FINAL)
    Q_PROPERTY(int hairline READ hairline NOTIFY changed FINAL)
    Q_PROPERTY(int border READ border NOTIFY changed FINAL)

public:
    static Metrics* instance();
    static Metrics* create(QQmlEngine*, QJSEngine*);

    /// Pixels per millimetre: CHOCKSIDE_DPI where set, else the screen's own figure, held to 72..400 dpi; 160 dpi where it says nothing.
    double mm() const { return mm_; }
    double text_scale() const { return text_scale_; }
    /// Text from 150 %: the rail keeps line and number, the record keeps its keys.
    bool big() const { return text_scale_ >= 1.5; }
    bool left_hand() const { return left_hand_; }
    int hairline() const;
    int border() const;

    void follow(const QScreen* screen);
    void set_dpi(double dpi);
    /// 1.0 to 2.0.
    void set_text_scale(double scale);
    void set_left_hand(bool left);

signals:
    void changed();

private:
    Metrics();
    double mm_ = 6.3;
    double text_scale_ = 1;
    bool left_hand_ = false;
};

} // namespace chockside::theme
