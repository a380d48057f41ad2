// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractTableModel>
#include <QStringList>

#include <optional>
#include <string>
#include <vector>

#include "gui/models/job_session.h"

namespace spanwright::models {

/// The rows of a list of a member, each field a text as the engine has it; a number is checked against its column's unit
/// when it is typed, a link to another value when the rows are stated.
///
/// Invariants: rows are as many fields wide as there are columns; a refused text stays in its field with the reason and
/// is never stated: the rows wait until it is mended; what becomes of the list elsewhere (undo, the text) is followed
/// while nothing waits here.
class ListRows : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Role { RefusalRole = Qt::UserRole + 1 /* why the text of a field is not taken; empty if it is */ };

    ListRows(JobSession& session, CellId cell, QObject* parent = nullptr);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override { return parent.isValid() ? 0 : static_cast<int>(m_view.rows.size()); }
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override { return parent.isValid() ? 0 : static_cast<int>(m_view.columns.size()); }
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    /// New rows have names of their own, 0 for numbers, and of texts the first that the sheet knows or the row above has.
    bool insertRows(int row, int count, const QModelIndex& parent = {}) override;
    bool removeRows(int row, int count, const QModelIndex& parent = {}) override;
    void moveRow(int row, int by);

    [[nodiscard]] const std::string& mark() const { return m_mark; }
    [[nodiscard]] const std::string& name() const { return m_name; }
    /// What the list is of, in the sheet's words.
    [[nodiscard]] QString what() const { return m_what; }
    [[nodiscard]] bool isStated() const { return m_view.stated; }
    [[nodiscard]] bool isText(int column) const { return m_view.columns[static_cast<std::size_t>(column)].text; }
    /// Words that the sheet compares a text column with: "layer", "joists".
    [[nodiscard]] const QStringList& knownWords(int column) const { return m_words[static_cast<std::size_t>(column)]; }
    /// True while a refused text stands in a field, or rows could not be stated.
    [[nodiscard]] bool isWaiting() const;
    /// States them in the job; what is wrong is said and nothing is stated. Nothing is done where they are stated so already.
    Outcome state();
    /// The sheet's own rows again.
    Outcome takeBack();

Q_SIGNALS:
    void refused(const QModelIndex& index, const QString& reason);

private:
    struct Kept {
        QString typed, why;
    };
    using Line = std::vector<std::optional<Kept>>;

    /// Why a field does not fit its column; empty if it does.
    [[nodiscard]] QString misfit(int column, const std::string& text) const;
    [[nodiscard]] std::vector<std::string> freshRow(int at) const;
    [[nodiscard]] std::optional<job::ListView> asInJob() const;
    void takeUnits(const meaning::Quantity& list);
    void readWords(const meaning::Sheet& sheet);
    void follow();
    JobSession& m_session;
    std::string m_mark, m_name;
    QString m_what;
    job::ListView m_view;
    std::vector<Line> m_kept;                     ///< refused texts, by row and column
    std::vector<std::vector<std::string>> m_told; ///< the rows as last stated or read
    std::vector<QStringList> m_words;             ///< by column
};

/// What a row of a sheet is of: its own words, or for a list without any those of the row that walks it.
[[nodiscard]] QString whatItIs(const meaning::Sheet& sheet, const meaning::Quantity& quantity);
/// The same as it was written, with names between backticks.
[[nodiscard]] const std::string& whatWritten(const meaning::Sheet& sheet, const meaning::Quantity& quantity);

} // namespace spanwright::models
