#pragma once
// One job as the screens show it. The view comes in whole; what the technician does goes out as one command. Nothing is shown as
// written here: only the next view says what the journal holds.

#include "entry_fix.h"
#include "entry_pad.h"
#include "job_lists.h"
#include "job_rows.h"
#include "words.h"

#include <core/job/command.h>

#include <QVariantList>

namespace chockside::models {

/// A picture that lies on this device.
struct PictureSeen {
    QString path, name;
    std::int64_t taken_utc_ms = 0;
};

/// Somebody who has a key on this device.
struct Signer {
    QString id, name, certificate_kind, certificate_number;
};

class JobModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::JobLists* lists READ lists CONSTANT FINAL)
    Q_PROPERTY(chockside::models::EntryFix* fix READ fix CONSTANT FINAL)
    Q_PROPERTY(chockside::models::PromptValue prompt READ prompt NOTIFY changed FINAL)
    Q_PROPERTY(bool others_offered READ others_offered NOTIFY changed FINAL)
    Q_PROPERTY(bool other_taken READ other_taken NOTIFY changed FINAL)
    Q_PROPERTY(QVariantList pieces READ pieces NOTIFY changed FINAL)
    Q_PROPERTY(QString chosen READ chosen NOTIFY entry_changed FINAL)
    Q_PROPERTY(QString typed READ typed NOTIFY entry_changed FINAL)
    Q_PROPERTY(QVariantMap draft READ draft NOTIFY entry_changed FINAL)
    Q_PROPERTY(QVariantList fields READ fields NOTIFY changed FINAL)
    Q_PROPERTY(bool refused READ refused NOTIFY refused_changed FINAL)
    Q_PROPERTY(QString refusal READ refusal NOTIFY refused_changed FINAL)
    Q_PROPERTY(bool signer_known READ signer_known NOTIFY entry_changed FINAL)
    Q_PROPERTY(QString signer_words READ signer_words NOTIFY entry_changed FINAL)
    Q_PROPERTY(QString person READ person WRITE set_person NOTIFY person_changed FINAL)
    Q_PROPERTY(QString job READ job NOTIFY changed FINAL)
    Q_PROPERTY(QString tail READ tail NOTIFY changed FINAL)
    Q_PROPERTY(QString aircraft READ aircraft NOTIFY changed FINAL)
    Q_PROPERTY(QString unit READ unit NOTIFY changed FINAL)
    Q_PROPERTY(QString complaint READ complaint NOTIFY changed FINAL)
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString link_word READ link_word NOTIFY changed FINAL)
    Q_PROPERTY(QString link_detail READ link_detail NOTIFY changed FINAL)
    Q_PROPERTY(QString link_mark READ link_mark NOTIFY changed FINAL)
    Q_PROPERTY(QString presence READ presence NOTIFY changed FINAL)
    Q_PROPERTY(QString finding READ finding NOTIFY changed FINAL)
    Q_PROPERTY(QString entry_text READ entry_text NOTIFY changed FINAL)
    Q_PROPERTY(QString leading READ leading NOTIFY changed FINAL)
    Q_PROPERTY(QString advice READ advice NOTIFY changed FINAL)
    Q_PROPERTY(QString isolate_sentence READ isolate_sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString swing_result READ swing_result NOTIFY changed FINAL)
    Q_PROPERTY(QString swing_sentence READ swing_sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString leaves READ leaves NOTIFY changed FINAL)
    Q_PROPERTY(QString to_departure READ to_departure NOTIFY changed FINAL)
    Q_PROPERTY(QString departure READ departure NOTIFY changed FINAL)
    Q_PROPERTY(QString decide READ decide NOTIFY changed FINAL)
    Q_PROPERTY(QString utc READ utc NOTIFY changed FINAL)
    Q_PROPERTY(QString local READ local NOTIFY changed FINAL)
    Q_PROPERTY(QString wait_figure READ wait_figure NOTIFY changed FINAL)
    Q_PROPERTY(QString wait_word READ wait_word NOTIFY changed FINAL)
    Q_PROPERTY(QString unsent_text READ unsent_text NOTIFY changed FINAL)
    Q_PROPERTY(QString key_small READ key_small NOTIFY entry_changed FINAL)
    Q_PROPERTY(QString key_large READ key_large NOTIFY entry_changed FINAL)
    Q_PROPERTY(QString verdict READ verdict NOTIFY entry_changed FINAL)
    Q_PROPERTY(QString verdict_mark READ verdict_mark NOTIFY entry_changed FINAL)
    Q_PROPERTY(QString limit READ limit NOTIFY changed FINAL)
    Q_PROPERTY(double verdict_place READ verdict_place NOTIFY entry_changed FINAL)
    Q_PROPERTY(bool key_ready READ key_ready NOTIFY entry_changed FINAL)
    Q_PROPERTY(int owed_minutes READ owed_minutes NOTIFY changed FINAL)
    Q_PROPERTY(double decide_share READ decide_share NOTIFY changed FINAL)
    Q_PROPERTY(double owed_share READ owed_share NOTIFY changed FINAL)
    Q_PROPERTY(QStringList not_owed READ not_owed NOTIFY changed FINAL)
    Q_PROPERTY(bool practice READ practice NOTIFY changed FINAL)
    Q_PROPERTY(bool closed READ closed NOTIFY changed FINAL)
    Q_PROPERTY(bool link_good READ link_good NOTIFY changed FINAL)
    Q_PROPERTY(QString earlier_says READ earlier_says NOTIFY changed FINAL)
    Q_PROPERTY(bool earlier_to_lead READ earlier_to_lead NOTIFY changed FINAL)
    Q_PROPERTY(bool fits_nothing READ fits_nothing NOTIFY changed FINAL)
    Q_PROPERTY(bool removal_offered READ removal_offered NOTIFY changed FINAL)
    Q_PROPERTY(int stage READ stage NOTIFY changed FINAL)
    Q_PROPERTY(int open_count READ open_count NOTIFY changed FINAL)
    Q_PROPERTY(int entries READ entries NOTIFY changed FINAL)
    Q_PROPERTY(QString entries_text READ entries_text NOTIFY changed FINAL)
    Q_PROPERTY(int unsent READ unsent NOTIFY changed FINAL)
    Q_PROPERTY(bool swing_owed READ swing_owed NOTIFY changed FINAL)
    Q_PROPERTY(bool swing_done READ swing_done NOTIFY changed FINAL)
    Q_PROPERTY(int swing_wanted READ swing_wanted NOTIFY changed FINAL)
    Q_PROPERTY(double swing_tolerance READ swing_tolerance NOTIFY changed FINAL)
    Q_PROPERTY(double swing_next READ swing_next NOTIFY changed FINAL)
    Q_PROPERTY(QVariantMap part_off READ part_off NOTIFY changed FINAL)
    Q_PROPERTY(QVariantMap part_on READ part_on NOTIFY changed FINAL)
    Q_PROPERTY(QVariantList swing_points READ swing_points NOTIFY changed FINAL)
    Q_PROPERTY(QVariantList swing_band READ swing_band NOTIFY changed FINAL)
    Q_PROPERTY(QVariantList swing_terms READ swing_terms NOTIFY changed FINAL)
    Q_PROPERTY(QVariantList swing_card READ swing_card NOTIFY changed FINAL)

public:
    explicit JobModel(QObject* parent = nullptr);
    void set_view(const job::JobView& view);
    const job::JobView& view() const { return view_; }
    JobLists* lists() { return &lists_; }
    EntryFix* fix() { return &fix_; }
    /// Newest first; with none there is nothing to attach.
    void set_pictures(const std::vector<PictureSeen>& pictures) { lists_.set_pictures(picture_rows(pictures)); }
    /// A command that was sent from here is durable; `id` as it was sent.
    void set_written(const QString& id);
    PromptValue prompt() const { return prompt_; }
    bool others_offered() const { return !view_.others.empty(); }
    bool other_taken() const { return !taken_.isEmpty(); }
    QVariantList pieces() const;
    QString chosen() const { return chosen_; }
    QString typed() const { return pad_.text(); }
    /// What the form of a sign, part or text prompt holds so far.
    QVariantMap draft() const { return draft_; }
    /// Of a text prompt: id and title of each line.
    QVariantList fields() const;
    bool refused() const { return !refusal_.isEmpty(); }
    QString refusal() const { return refusal_; }
    /// The recorder said no, in words; shown until the next view or act.
    void set_refusal(const QString& words);
    QString person() const { return person_; }
    /// Whether who signs has a key on this device: then only the PIN is asked.
    bool signer_known() const { return signers_.contains(signer()); }
    /// "L. Kestrel, airframe mechanic NM-117"; empty for somebody new.
    QString signer_words() const;
    void set_signers(const std::vector<Signer>& signers);
    void set_person(const QString& initials);

    QString job() const { return words(view_.job); }
    QString tail() const { return words(view_.tail); }
    QString aircraft() const { return words(view_.aircraft_type); }
    QString unit() const { return words(view_.unit_title); }
    QString complaint() const { return words(view_.complaint); }
    QString sentence() const { return prose(view_.sentence); }
    QString link_word() const { return words(view_.link_word); }
    QString link_detail() const { return words(view_.link_detail); }
    QString link_mark() const { return mark_name(view_.link_mark); }
    QString presence() const { return words(view_.presence); }
    QString finding() const { return words(view_.finding); }
    QString entry_text() const { return prose(view_.entry_text).trimmed(); }
    QString leading() const { return lower_first(prose(view_.isolate.leading)); }
    QString advice() const { return words(view_.isolate.advice); }
    QString isolate_sentence() const { return words(view_.isolate.sentence); }
    QString swing_result() const { return words(view_.swing.result); }
    QString swing_sentence() const { return prose(view_.swing.sentence); }
    bool practice() const { return view_.practice; }
    bool closed() const { return view_.closed; }
    bool link_good() const { return view_.link_good; }
    QString earlier_says() const { return words(view_.earlier_says); }
    bool earlier_to_lead() const { return view_.earlier_to_lead; }
    bool fits_nothing() const { return view_.isolate.fits_nothing; }
    bool removal_offered() const { return view_.isolate.removal_offered; }
    int stage() const { return static_cast<int>(view_.stage); }
    int open_count() const { return static_cast<int>(view_.open.size()); }
    int entries() const { return view_.entries; }
    QString entries_text() const;
    int unsent() const { return view_.unsent; }
    bool swing_owed() const { return view_.swing.owed; }
    bool swing_done() const { return view_.swing.done; }
    int swing_wanted() const { return view_.swing.wanted; }
    double swing_tolerance() const { return view_.swing.tolerance_deg.value_or(0); }
    double swing_next() const { return view_.swing.next_heading_deg.value_or(-1); }
    QVariantMap part_off() const { return part_row(view_.part_off); }
    QVariantMap part_on() const { return part_row(view_.part_on); }
    QVariantList swing_points() const { return models::swing_points(view_.swing); }
    QVariantList swing_band() const { return models::swing_band(view_.swing); }
    QVariantList swing_terms() const { return models::swing_terms(view_.swing); }
    QVariantList swing_card() const { return models::swing_card(view_.swing); }
    QString leaves() const;
    QString to_departure() const;
    QString departure() const;
    QString decide() const;
    QString utc() const;
    QString local() const;
    QString wait_figure() const;
    QString wait_word() const;
    QString unsent_text() const;
    QString key_small() const;
    QString key_large() const;
    QString verdict() const;
    QString verdict_mark() const;
    QString limit() const;
    double verdict_place() const;
    bool key_ready() const;
    int owed_minutes() const;
    double decide_share() const;
    double owed_share() const;
    QStringList not_owed() const;

    /// The large key: answers the prompt with what is chosen or typed.
    Q_INVOKABLE void press();
    Q_INVOKABLE void choose(const QString& outcome);
    Q_INVOKABLE void type(const QString& key);
    /// Fields: certificate_kind, certificate_number (sign); off_number, off_serial, off_tag, off_reason, on_number, on_serial,
    /// on_certificate (part); text (text); person.
    Q_INVOKABLE void fill(const QString& field, const QString& text);
    Q_INVOKABLE void enter_number(const QString& text);
    /// One of the outcomes of a number prompt that is no number ("over range").
    Q_INVOKABLE void answer(const QString& outcome);
    /// Takes a row of the others as the next thing until it is answered or left; empty: back to the proposed one.
    Q_INVOKABLE void select_other(const QString& row);
    Q_INVOKABLE void sign(const QString& certificate_kind, const QString& certificate_number);
    Q_INVOKABLE void part(const QVariantMap& off, const QVariantMap& on);
    /// `note_written` follows where it was.
    Q_INVOKABLE void note(const QString& text);
    Q_INVOKABLE void open_entry(const QString& hash);
    /// A thing of the open list (its id) that was found otherwise on return.
    Q_INVOKABLE void not_as_left(const QString& thing, const QString& title);
    Q_INVOKABLE void photo(const QString& of, const QString& path);

signals:
    void changed();
    void entry_changed();
    void refused_changed();
    void person_changed();
    void commanded(const chockside::job::Command& command);
    void note_written();
    /// With its picture.
    void photo_written();
    /// A void or an amendment.
    void fix_written();
    /// Work goes on toward this check, not the proposed one; empty: toward the proposed one again.
    void check_taken(const QString& check);

private:
    std::string send(job::Command command);
    void send_answer(const QString& answer, const json::Value& more = {});
    std::string take_pin();
    std::string default_kind() const;

    job::JobView view_;
    JobLists lists_;
    EntryFix fix_;
    std::string note_sent_, fix_sent_, photo_sent_;   ///< ids of commands
    PromptValue prompt_;
    EntryPad pad_;
    bool warm() const;
    QStringList missing_fields() const;
    QString signer() const;
    bool leads_on() const;
    void press_form();
    void keep_taken(const std::string& before);
    void show();
    job::Prompt proposed_;
    QString taken_;           ///< row of the others that stands in the place of the proposed prompt
    std::string drafted_job_;
    int sent_at_ = -1;        ///< entries there were when the last command went out
    QVariantMap draft_;
    QHash<QString, Signer> signers_;
    QString chosen_, refusal_, person_;
};

} // namespace chockside::models
