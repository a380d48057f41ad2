// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <vector>

#include "gui/models/job_session.h"

namespace spanwright::models {

/// A job that is not a file yet: one member of a ready sheet, and what the sheet asks for it as a list of questions.
/// What is asked comes from the sheet alone, in its order, as far as it applies: its asks and the choices that it leaves
/// open; then what it takes as usual for the thing itself (spacing, spans, section) and its lists; last, what else it has
/// a default for. Where the loads of an area can be worked out by a sheet of their own, a second member may do that and
/// carry its results into the first.
///
/// Invariants: every answer is read and refused by the language's own rules, as in the grid; what was refused stays
/// beside its question and changes nothing of the job, which is then no answer to what is asked (see refused()); what is said of where a figure
/// comes from is kept until there is one.
class FirstJob : public QAbstractListModel {
    Q_OBJECT

public:
    /// In the order in which they stand.
    enum class Group : std::uint8_t {
        Needed,  ///< the sheet has no default for it
        Loads,   ///< of the member that works out the loads: what must be answered, and its list
        Shape,   ///< how the thing is built, as long as nobody says otherwise; and lists
        Assumed, ///< all else that has a default
    };
    enum Role {
        NameRole = Qt::UserRole + 1, ///< of the second member with its mark: "A1.layers"
        SymbolRole,                  ///< as it is read: "q_k"
        UnitRole,                    ///< shown
        PartRole,                    ///< title of the part that it stands in
        ChoiceRole,                  ///< bool: answered by a row of a table
        RowsRole,                    ///< QStringList: keys of the table's rows
        RowWordsRole,                ///< QStringList: the same with what the table says of them
        NeededRole,                  ///< bool: the sheet has no default for it
        StatedRole,                  ///< bool
        DefaultRole,                 ///< what the sheet takes unless it is stated, as shown
        RangeRole,                   ///< "0.3 m to 12 m"
        SourceRole,                  ///< what the sheet says of where such figures stand
        AsksFromRole,                ///< bool: where the figure comes from is asked too
        FromRole,                    ///< where it comes from, as answered
        RefusalRole,                 ///< why the last answer was not taken
        GroupRole,                   ///< Group
        ListRole,                    ///< bool: answered by rows of its own; see cellOf()
        ShownRole,                   ///< the value as it stands; empty if there is none
        LinkRole,                    ///< the value of the second member that it is taken from: "A1.g_k"; empty if it is not
    };

    explicit FirstJob(QString library, QObject* parent = nullptr);
    ~FirstJob() override;

    /// Begins with a member of a sheet, as "eu/floor-joist". Answers of the sheet before that fit are kept.
    Outcome begin(const QString& sheet, const QString& mark);
    [[nodiscard]] bool isBegun() const { return m_session && m_session->isOpen(); }
    [[nodiscard]] const QString& sheet() const { return m_sheet; }
    /// The draft as a job: verdict, sketches, working. Only when begun.
    [[nodiscard]] JobSession& session() { return *m_session; }
    [[nodiscard]] const job::MemberView& member() const { return m_session->job().member(0); }

    Outcome answer(int row, const QString& typed);
    /// Something is being typed for a question, or no longer: meanwhile the job has the answer of before.
    void setTyping(int row, bool typing);
    /// The rows of a list do not fit; they do where `why` is empty.
    void tellList(int row, const QString& why);
    /// Questions whose answer was not taken, by row: the job has the one of before, or none.
    [[nodiscard]] std::vector<int> refused() const;
    [[nodiscard]] bool isTyping() const;
    /// Where the figure comes from; stands in the job behind the value.
    Outcome sayFrom(int row, const QString& words);
    [[nodiscard]] int rowOf(const std::string& name) const;
    [[nodiscard]] CellId cellOf(int row) const;
    [[nodiscard]] int needed() const;       ///< questions that must be answered
    [[nodiscard]] int neededStated() const; ///< and those that are, as they were answered last

    // ---- loads by area
    /// The sheet that works out the loads that this one asks for: "eu/area-loads"; empty if there is none.
    [[nodiscard]] QString loadsSheet() const;
    [[nodiscard]] bool hasLoads() const { return isBegun() && m_session->job().memberCount() > 1; }
    /// Adds a member of it, whose results the first one takes from then on; what was stated for them is given up.
    Outcome addLoads();
    /// Takes it away again; what it carried is asked for.
    Outcome removeLoads();

    /// The job's text as it is to be kept, what is not stated yet written out to be filled in.
    [[nodiscard]] base::Result<std::string, Refusal> text();
    /// The answers as they are have been kept in a file.
    void noteKept() { m_kept = textNow(); }
    [[nodiscard]] bool isKept() const { return m_kept == textNow(); }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;

Q_SIGNALS:
    /// Behind every answer, once the rows are up to date, and when one begins to be typed.
    void answered();

private:
    struct Question {
        std::size_t member = 0;
        meaning::QuantityId id;
        bool needed = false;
        Group group = Group::Assumed;
        friend bool operator==(const Question&, const Question&) = default;
    };
    [[nodiscard]] std::vector<Question> asked() const;
    void askOf(std::size_t member, std::vector<Question>& out) const;
    [[nodiscard]] const meaning::Quantity& quantity(const Question& q) const;
    [[nodiscard]] const job::QuantityView& view(const Question& q) const;
    [[nodiscard]] bool isLinked(const Question& q) const;
    [[nodiscard]] std::string keyOf(const Question& q) const;
    [[nodiscard]] const Question& question(int row) const { return m_rows[static_cast<std::size_t>(row)]; }
    [[nodiscard]] std::string textNow() const;
    void relay();
    Outcome refuse(int row, const Refusal& why);

    QString m_library, m_sheet;
    std::unique_ptr<JobSession> m_session;
    std::vector<Question> m_rows;
    std::map<std::string, QString> m_from;     ///< said before there is a figure
    std::map<std::string, Refusal> m_refusals; ///< by name
    std::set<std::string> m_typing;            ///< names
    std::string m_kept;                        ///< the text as it was kept last
};

/// What a builder sees before the first sheet is named: which of the ready sheets serve which picture.
enum class FirstPicture : std::uint8_t { Joist, Header, LevelBeam, RidgeBeam, Post };
inline constexpr FirstPicture kFirstPictures[] = {FirstPicture::Joist, FirstPicture::Header, FirstPicture::LevelBeam, FirstPicture::RidgeBeam,
                                                  FirstPicture::Post};
[[nodiscard]] QString firstPictureName(FirstPicture picture);
/// The mark that the first member of its kind is given: "J1".
[[nodiscard]] QString firstMark(FirstPicture picture);
/// The picture that a ready sheet belongs to; nothing for sheets that work out something else, such as loads.
[[nodiscard]] std::optional<FirstPicture> pictureOf(const job::ReadySheet& sheet);
/// The sheets of a picture, what is most often built first: a sawn joist before a bought one.
[[nodiscard]] std::vector<job::ReadySheet> sheetsOf(FirstPicture picture, const std::vector<job::ReadySheet>& all);

} // namespace spanwright::models
