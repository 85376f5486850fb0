#pragma once
// The flex test while it runs: places in true order as keys, how many drop-outs fell to each, and what chance alone would give.

#include "rows_model.h"

#include <core/job/view.h>

#include <string>
#include <vector>

namespace chockside::models {

/// What the link counted so far, place by place; the empty place is hands off.
struct FlexSeen {
    struct Place {
        std::string place;
        int hits = 0;
        double seconds = 0, p = 1;
    };
    bool running = false;
    std::string moved;          ///< the place that hands move now
    int hits = 0;
    double seconds = 0;
    std::vector<Place> places;
};

class FlexModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::RowsModel* places READ places CONSTANT FINAL)
    Q_PROPERTY(bool running READ running NOTIFY changed FINAL)
    Q_PROPERTY(QString moved READ moved NOTIFY changed FINAL)
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString chance READ chance NOTIFY changed FINAL)
    Q_PROPERTY(QString ends READ ends NOTIFY changed FINAL)
public:
    explicit FlexModel(QObject* parent = nullptr);
    void set_places(const std::vector<job::PlaceView>& places);
    void set_seen(const FlexSeen& seen);

    RowsModel* places() { return &places_; }
    bool running() const { return seen_.running; }
    QString moved() const;
    QString sentence() const;
    QString chance() const;
    /// "wing tip to nose rack": where the line of keys begins and ends.
    QString ends() const;

    /// Hands move this place from now on; the same place again: hands off.
    Q_INVOKABLE void mark(const QString& place);
    Q_INVOKABLE void mark_off();

signals:
    void changed();
    void mark_asked(const QString& place);

private:
    void show();
    QString label_of(const std::string& place) const;
    const FlexSeen::Place* most() const;

    RowsModel places_;
    std::vector<job::PlaceView> line_;
    FlexSeen seen_;
};

} // namespace chockside::models
