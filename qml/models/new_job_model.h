#pragma once
// A job about to be opened: which profile, which aircraft, what is written up, when it leaves, and by which port the unit is heard.

#include "rows_model.h"

#include <QObject>

#include <cstdint>
#include <string>
#include <vector>

namespace chockside::models {

struct ProfileChoice {
    std::string name, title, aircraft_type, unit, wrong;
    int revision = 0;
    bool practice = false, published = false; ///< published: by the shop
    std::vector<std::pair<std::string, std::string>> complaints;
};

struct PortChoice {
    std::string path, title;
};

struct NewJob {
    std::string profile, tail, complaint, complaint_kind, power;
    std::int64_t departure_utc_ms = 0; ///< 0: none
    std::string port;                  ///< empty: not yet
    std::string given;                 ///< the job of a write-up of the shop's; empty: none
};

class NewJobModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::RowsModel* profiles READ profiles CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* complaints READ complaints CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* ports READ ports CONSTANT FINAL)
    Q_PROPERTY(QString tail READ tail WRITE set_tail NOTIFY changed FINAL)
    Q_PROPERTY(QString complaint READ complaint WRITE set_complaint NOTIFY changed FINAL)
    Q_PROPERTY(QString leaves READ leaves WRITE set_leaves NOTIFY changed FINAL)
    Q_PROPERTY(bool powered READ powered WRITE set_powered NOTIFY changed FINAL)
    Q_PROPERTY(QString port READ port WRITE set_port NOTIFY changed FINAL)
    Q_PROPERTY(QString own_folder READ own_folder NOTIFY changed FINAL)
    Q_PROPERTY(QString given_words READ given_words NOTIFY changed FINAL)
    Q_PROPERTY(bool practice READ practice NOTIFY changed FINAL)
    Q_PROPERTY(QString missing READ missing NOTIFY changed FINAL)
    Q_PROPERTY(QString refusal READ refusal NOTIFY changed FINAL)
public:
    explicit NewJobModel(QObject* parent = nullptr);
    void set_profiles(std::vector<ProfileChoice> profiles);
    void set_ports(std::vector<PortChoice> ports);
    void set_person(const QString& initials);
    /// Where a shop lays its own profiles.
    void set_own_folder(const QString& path);
    QString own_folder() const { return own_folder_; }
    /// A write-up of the shop's: its tail and words are taken over, and the job will be its own.
    void give(const std::string& job, const std::string& tail, const std::string& title, const QString& words);
    /// Another job than that is to be opened.
    void forget_given();
    /// What the shop wrote with it; empty where it gave nothing.
    QString given_words() const { return given_words_; }
    void refuse(const QString& why);
    /// After it was opened: nothing of it stays for the next one but profile and port.
    void done();
    static std::int64_t departure_of(const QString& leaves, std::int64_t now_utc_ms);

    RowsModel* profiles() { return &profiles_; }     ///< id, label_text, detail, chosen, wrong
    RowsModel* complaints() { return &complaints_; } ///< id, label_text, chosen
    RowsModel* ports() { return &ports_; }           ///< id, label_text, chosen
    QString tail() const { return tail_; }
    void set_tail(const QString& tail);
    QString complaint() const { return complaint_; }
    void set_complaint(const QString& complaint);
    /// "18:40", UTC, today or tomorrow; empty: none.
    QString leaves() const { return leaves_; }
    void set_leaves(const QString& leaves);
    bool powered() const { return powered_; }
    void set_powered(bool powered);
    QString port() const { return port_; }
    void set_port(const QString& port);
    bool practice() const;
    /// What the large key waits for; empty: nothing.
    QString missing() const;
    QString refusal() const { return refusal_; }

    Q_INVOKABLE void look();
    Q_INVOKABLE void choose_profile(const QString& id);
    Q_INVOKABLE void choose_complaint(const QString& id);
    Q_INVOKABLE void open();

signals:
    void changed();
    void list_asked();
    void open_asked(const chockside::models::NewJob& job);
    /// Whenever another port is chosen.
    void port_asked(const QString& port);

private:
    const ProfileChoice* chosen() const;
    void show();

    RowsModel profiles_, complaints_, ports_;
    std::vector<ProfileChoice> at_hand_;
    std::vector<PortChoice> there_;
    std::string profile_, kind_, given_;
    QString given_words_;
    QString tail_, complaint_, leaves_, port_, person_, refusal_, own_folder_;
    bool powered_ = false;
};

} // namespace chockside::models
