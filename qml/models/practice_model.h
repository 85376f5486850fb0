#pragma once
// Hands and eyes of a practice job whose world is not coupled: what can be done by hand as buttons, and what can be seen as lines.

#include "rows_model.h"

#include <core/base/json.h>

#include <QStringList>

namespace chockside::models {

class PracticeModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::RowsModel* hands READ hands CONSTANT FINAL)
    Q_PROPERTY(QStringList seen READ seen NOTIFY seen_changed FINAL)
    Q_PROPERTY(bool coupled READ coupled NOTIFY coupled_changed FINAL)
public:
    explicit PracticeModel(QObject* parent = nullptr);
    /// The moves that the world offers, each the line that the world reads, e.g. {"hand":"breaker","label":"REF 1","to":"pulled"}.
    void set_hands(const std::vector<json::Value>& moves);
    /// The world's whole visible state (the answer to eye "all"), turned into lines.
    void set_seen(const json::Value& all);
    void set_coupled(bool coupled);
    RowsModel* hands() { return &hands_; }
    QStringList seen() const { return seen_; }
    bool coupled() const { return coupled_; }
    Q_INVOKABLE void act(int row);

signals:
    void seen_changed();
    void coupled_changed();
    void hand_asked(const chockside::json::Value& move);

private:
    RowsModel hands_;
    std::vector<json::Value> moves_;
    QStringList seen_;
    bool coupled_ = false;
};

} // namespace chockside::models
