#pragma once
// What the technician has set: theme, text size, working hand. Kept in an INI file that only this class reads and writes.

#include <QObject>
#include <QSettings>
#include <QtQml/qqmlregistration.h>

namespace chockside::models {

class SettingsModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("Made by the app with its file")
    Q_PROPERTY(int light READ light WRITE set_light NOTIFY changed FINAL)
    Q_PROPERTY(double text_scale READ text_scale WRITE set_text_scale NOTIFY changed FINAL)
    Q_PROPERTY(bool left_hand READ left_hand WRITE set_left_hand NOTIFY changed FINAL)
    Q_PROPERTY(int lock_minutes READ lock_minutes WRITE set_lock_minutes NOTIFY changed FINAL)
    Q_PROPERTY(QString person READ person WRITE set_person NOTIFY changed FINAL)
public:
    explicit SettingsModel(const QString& file, QObject* parent = nullptr) : QObject(parent), kept_(file, QSettings::IniFormat) {}

    /// 0 day, 1 sun, 2 night
    int light() const { return qBound(0, kept_.value("v1/light", 0).toInt(), 2); }
    /// 1.0 to 2.0
    double text_scale() const { return qBound(1.0, kept_.value("v1/text_scale", 1.0).toDouble(), 2.0); }
    bool left_hand() const { return kept_.value("v1/left_hand", false).toBool(); }
    /// Without a touch, 5 to 60.
    int lock_minutes() const { return qBound(5, kept_.value("v1/lock_minutes", 15).toInt(), 60); }
    void set_lock_minutes(int v) { keep("v1/lock_minutes", v); }
    QString person() const { return kept_.value("v1/person").toString(); }
    void set_light(int v) { keep("v1/light", v); }
    void set_text_scale(double v) { keep("v1/text_scale", v); }
    void set_left_hand(bool v) { keep("v1/left_hand", v); }
    void set_person(const QString& v) { keep("v1/person", v.trimmed().toUpper().left(3)); }

signals:
    void changed();

private:
    void keep(const char* key, const QVariant& value)
    {
        if (kept_.value(key) == value) return;
        kept_.setValue(key, value);
        emit changed();
    }
    QSettings kept_;
};

} // namespace chockside::models
