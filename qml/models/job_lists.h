#pragma once
// Every list of a job, one model each; they change row by row with each new view.

#include "rows_model.h"

#include <core/job/view.h>

namespace chockside::models {

class JobLists : public QObject {
    Q_OBJECT
    QML_ANONYMOUS
    Q_PROPERTY(chockside::models::RowsModel* rail READ rail CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* journal READ journal CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* recent READ recent CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* open READ open CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* left READ left CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* readings READ readings CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* put_back READ put_back CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* waits READ waits CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* buses READ buses CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* places READ places CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* evidence READ evidence CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* earlier READ earlier CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* unexplained READ unexplained CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* would_change READ would_change CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* checks READ checks CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* gates READ gates CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* saved READ saved CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* faults READ faults CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* sources READ sources CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* live READ live CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* owed READ owed CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* acts READ acts CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* debrief READ debrief CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* equipment READ equipment CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* cautions READ cautions CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* hazards READ hazards CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* choices READ choices CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* others READ others CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* pictures READ pictures CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* disputes READ disputes CONSTANT FINAL)
public:
    explicit JobLists(QObject* parent = nullptr) : QObject(parent) {}
    void set_view(const job::JobView& v);
    RowsModel* rail() { return &rail_; }
    RowsModel* journal() { return &journal_; }
    /// The last entries, for the thread.
    RowsModel* recent() { return &recent_; }
    RowsModel* open() { return &open_; }
    RowsModel* left() { return &left_; }
    RowsModel* readings() { return &readings_; }
    RowsModel* put_back() { return &put_back_; }
    RowsModel* waits() { return &waits_; }
    RowsModel* buses() { return &buses_; }
    RowsModel* places() { return &places_; }
    RowsModel* evidence() { return &evidence_; }
    /// What this aircraft had before, newest first.
    RowsModel* earlier() { return &earlier_; }
    /// Odd answers that the leading cause does not account for.
    RowsModel* unexplained() { return &unexplained_; }
    RowsModel* would_change() { return &would_change_; }
    RowsModel* checks() { return &checks_; }
    RowsModel* gates() { return &gates_; }
    RowsModel* saved() { return &saved_; }
    RowsModel* faults() { return &faults_; }
    RowsModel* sources() { return &sources_; }
    RowsModel* live() { return &live_; }
    RowsModel* owed() { return &owed_; }
    RowsModel* acts() { return &acts_; }
    RowsModel* debrief() { return &debrief_; }
    RowsModel* equipment() { return &equipment_; }
    RowsModel* cautions() { return &cautions_; }
    RowsModel* hazards() { return &hazards_; }
    RowsModel* choices() { return &choices_; }
    RowsModel* others() { return &others_; }
    RowsModel* disputes() { return &disputes_; }
    RowsModel* pictures() { return &pictures_; }
    void set_pictures(const QList<QVariantMap>& rows) { pictures_.set_rows(rows); }

private:
    RowsModel rail_{{"stage", "title", "word", "state", "filled", "here", "open"}, "stage"};
    RowsModel journal_{{"id", "at", "text", "sent", "amended", "kind", "hash", "struck", "by"}, "id"};
    RowsModel recent_{{"id", "at", "text", "sent", "amended", "kind", "struck"}, "id"};
    RowsModel open_{{"id", "icon", "title", "detail", "word", "mark", "since"}, "id"};
    RowsModel put_back_{{"id", "icon", "title", "detail", "word", "mark", "since"}, "id"};
    RowsModel left_{{"id", "title", "detail", "parts"}, "id"};
    RowsModel readings_{{"label", "value", "unit", "word", "mark"}, "label"};
    RowsModel waits_{{"id", "title", "says", "mark", "ends", "running", "fraction", "left_text", "total"}, "id"};
    RowsModel buses_{{"id", "title", "breakers"}, "id"};
    RowsModel places_{{"id", "label", "where", "kind", "leading", "mark", "p", "share"}, "id"};
    RowsModel evidence_{{"text", "length", "factor"}};
    RowsModel earlier_{{"on", "complaint", "came_to", "same_kind"}};
    RowsModel unexplained_{{"odd", "would"}};
    RowsModel would_change_{{"text"}};
    RowsModel checks_{{"id", "title", "why", "minutes", "own", "access", "power", "warm"}, "id"};
    RowsModel gates_{{"id", "says", "word", "mark"}, "id"};
    RowsModel saved_{{"title", "word", "mark", "done", "here", "prompt"}, "title"};
    RowsModel faults_{{"code", "says", "count", "age", "active"}, "code"};
    RowsModel sources_{{"figures", "what", "no1", "no2", "standby", "mark", "word"}, "what"};
    RowsModel live_{{"label", "value", "unit", "word", "mark"}, "label"};
    RowsModel owed_{{"id", "title", "rule", "who", "word", "mark", "minutes"}, "id"};
    RowsModel acts_{{"id", "title", "person", "certificate", "word", "mark"}, "id"};
    RowsModel debrief_{{"check", "title", "words"}, "check"};
    RowsModel equipment_{{"check", "title", "words"}, "check"};
    RowsModel cautions_{{"word", "says"}};
    RowsModel hazards_{{"word", "says"}};
    RowsModel choices_{{"id", "words"}, "id"};
    RowsModel pictures_{{"path", "name", "at"}, "path"};
    RowsModel disputes_{{"id", "title", "says", "ends"}, "id"};
    RowsModel others_{{"id", "title", "say"}, "id"};
};

} // namespace chockside::models
