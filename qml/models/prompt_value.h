#pragma once
// The next thing as the large key and the stage show it: a read-only value for QML.

#include <core/job/view.h>

#include <QObject>
#include <QtQml/qqmlregistration.h>

namespace chockside::models {

struct PromptValue {
    Q_GADGET
    QML_VALUE_TYPE(promptValue)
    Q_PROPERTY(QString id MEMBER id CONSTANT FINAL)
    Q_PROPERTY(QString kind MEMBER kind CONSTANT FINAL)
    Q_PROPERTY(QString say MEMBER say CONSTANT FINAL)
    Q_PROPERTY(QString detail MEMBER detail CONSTANT FINAL)
    Q_PROPERTY(QString unit MEMBER unit CONSTANT FINAL)
    Q_PROPERTY(QString meter MEMBER meter CONSTANT FINAL)
    Q_PROPERTY(QString points MEMBER points CONSTANT FINAL)
    Q_PROPERTY(QString verb MEMBER verb CONSTANT FINAL)
    Q_PROPERTY(QString label MEMBER label CONSTANT FINAL)
    Q_PROPERTY(QString to MEMBER to CONSTANT FINAL)
    Q_PROPERTY(QString missing MEMBER missing CONSTANT FINAL)
    Q_PROPERTY(QString met_by MEMBER met_by CONSTANT FINAL)
    Q_PROPERTY(QString ref MEMBER ref CONSTANT FINAL)
    Q_PROPERTY(bool hold MEMBER hold CONSTANT FINAL)
    Q_PROPERTY(bool ready MEMBER ready CONSTANT FINAL)
    Q_PROPERTY(bool has_limits MEMBER has_limits CONSTANT FINAL)
    Q_PROPERTY(double low MEMBER low CONSTANT FINAL)
    Q_PROPERTY(double high MEMBER high CONSTANT FINAL)
public:
    static PromptValue of(const job::Prompt& prompt);
    /// number and swing_point: a figure is typed
    bool typed() const { return kind == "number" || kind == "swing_point"; }

    QString id, kind = "none", say, detail, unit, meter, points, verb, label, to, missing, met_by, ref;
    bool hold = false, ready = true, has_limits = false;
    double low = 0, high = 0;
    bool operator==(const PromptValue&) const = default;
};

} // namespace chockside::models
