// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractTableModel>
#include <QHash>

#include <map>
#include <optional>
#include <set>
#include <vector>

#include "engine/meaning/typeset.h"
#include "gui/models/grid_rows.h"
#include "gui/models/job_session.h"

namespace spanwright::models {

/// The grid of one sheet of a job: rows are the sheet's named quantities, columns are symbol, what it is, unit, and
/// one for each member that uses the sheet. Shows what the session says and asks it for edits.
///
/// Invariants: rows stand in the sheet's order; what a cell shows is never remembered here; a refused text is kept
/// beside the cell until something is accepted there or it is dropped.
class GridModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { SymbolColumn, WhatColumn, UnitColumn, FirstMember };
    /// How a value's place looks: who says what stands there.
    enum class Form : std::uint8_t { Worked, Stated, Assumed, Linked, NotStated };
    enum class Tick : std::uint8_t { None, Current, OutOfDate, Unknown };
    enum class Remark : std::uint8_t { None, Answered, Open };
    /// Rewritten: rows of a copied sheet that are others than the ready sheet's.
    enum class Filter : std::uint8_t { All, Checks, ToState, Differs, Changed, Unticked, TickOld, Remarked, Rewritten };
    Q_ENUM(Filter)
    enum Role {
        SortRole = Qt::UserRole + 1, ///< GridRow::Sort
        KindRole,                    ///< meaning::Kind
        NameRole,                    ///< canonical name
        StateRole,                   ///< eval::State
        FormRole,                    ///< Form
        CheckRole,                   ///< job::CheckView::State; invalid where there is no check
        UtilisationRole,             ///< double; invalid where there is none
        ChangedRole,                 ///< bool: since the last edit
        OldRole,                     ///< how it was shown before
        ReasonRole,                  ///< why there is no value, or why a check does not pass
        LinkRole,                    ///< "J1.R_G/J1.s"
        TagRole,                     ///< what the value is tagged as: "characteristic", "design"; empty if neither
        TickRole,                    ///< Tick
        RemarkRole,                  ///< Remark
        RemarkTextRole,              ///< the remarks on the value with their answers, a line each
        WordsRole,                   ///< what a row is, as written, where it names something between backticks
        RewrittenRole,               ///< row: "added" or "changed" against the ready sheet; empty if neither
        RefusedRole,                 ///< the text that was refused
        RefusalRole,                 ///< why, and what to do about it
        FoldedRole,                  ///< heading: bool
        OpensRole,                   ///< value row: has cases
        OpenRole,                    ///< value row: its cases are shown
        CountRole,                   ///< column head: how many of the member
        PurposeRole,                 ///< column head
        VerdictRole,                 ///< column head: job::Verdict
        OutOfDateRole,               ///< bool: of before an edit that is still being worked out; of a column head too
    };

    explicit GridModel(JobSession& session, QObject* parent = nullptr);

    // ---- what is shown
    /// Shows a sheet of the session's groups.
    void setGroup(std::size_t group);
    [[nodiscard]] std::size_t group() const { return m_group; }
    void setFilter(Filter filter);
    [[nodiscard]] Filter filter() const { return m_filter; }
    void setFolded(int row, bool folded);
    void setAllFolded(bool folded);
    void setOpen(int row, bool open);

    // ---- places
    [[nodiscard]] std::optional<CellId> cellAt(const QModelIndex& index) const;
    [[nodiscard]] std::optional<std::size_t> memberAt(int column) const;
    [[nodiscard]] std::optional<std::size_t> caseAt(int row) const;
    /// Where a cell stands now; invalid when it is hidden or of another sheet.
    [[nodiscard]] QModelIndex indexOf(CellId cell) const;
    /// The same, after showing its sheet and unfolding and unfiltering what hides it.
    QModelIndex reveal(CellId cell);
    [[nodiscard]] const GridRow& rowAt(int row) const { return m_rows[static_cast<std::size_t>(row)]; }
    /// The symbol of a row, to be set in two dimensions; null for headings and cases.
    [[nodiscard]] const meaning::Box* symbol(int row) const;
    [[nodiscard]] const meaning::Quantity* quantityOf(int row) const;
    void dropRefusal(CellId cell);
    /// Where a refused text stands, and the text: J1.L, "2 kg".
    [[nodiscard]] QStringList notTaken() const;

    /// "OK", "FAILS", "NOT PROVEN", "NOT COMPUTED", "does not apply".
    [[nodiscard]] static QString checkWord(job::CheckView::State state);
    [[nodiscard]] static QString verdictWord(job::Verdict verdict);

    // ---- as tab-separated text
    [[nodiscard]] QString copied(const QModelIndexList& indexes) const;
    /// States the fields of a text from a cell to the right and down; all or none.
    Outcome paste(const QModelIndex& at, const QString& text);
    /// Gives the members to the right what this one states.
    Outcome copyToRight(const QModelIndex& from);

    // ---- QAbstractTableModel
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;

Q_SIGNALS:
    void refused(const QModelIndex& index, const QString& reason);
    void groupChanged();
    /// Another sheet is going to be shown: the last moment at which the cells of this one are known.
    void aboutToLeave();
    /// Around a change of which rows are shown: by the filter, or else by folding, opening or an edit.
    void aboutToRelay();
    void relaid(bool byFilter);

private:
    struct Kept {
        QString typed;
        Refusal why;
    };
    using Key = std::pair<std::string, std::string>;

    Outcome copyListToRight(const QModelIndex& from, CellId cell);
    [[nodiscard]] const SheetGroup* groupNow() const;
    [[nodiscard]] const meaning::Sheet* sheet() const;
    [[nodiscard]] Key keyOf(CellId cell) const;
    void rebuild();
    void relay(bool byFilter = false);
    void cellsChanged(const std::vector<CellId>& cells);
    void tellRewritten();
    [[nodiscard]] std::vector<GridRow> chosen() const;
    [[nodiscard]] bool wanted(const GridRow& row) const;
    [[nodiscard]] std::size_t caseCount(meaning::QuantityId id) const;
    [[nodiscard]] QVariant rowData(const GridRow& row, int column, int role) const;
    [[nodiscard]] QVariant cellData(const GridRow& row, CellId cell, int role) const;
    [[nodiscard]] QVariant checkData(const GridRow& row, CellId cell, int role) const;
    [[nodiscard]] QVariant partData(const GridRow& row, std::size_t member, int role) const;
    [[nodiscard]] QString shownOf(const GridRow& row, CellId cell) const;
    [[nodiscard]] QString toolTip(const GridRow& row, CellId cell) const;
    [[nodiscard]] Form formOf(CellId cell) const;
    [[nodiscard]] Tick tickOf(CellId cell) const;
    [[nodiscard]] Remark remarkOf(CellId cell) const;
    [[nodiscard]] QString remarkText(CellId cell) const;
    [[nodiscard]] QString rewritten(const meaning::Quantity& q) const;
    [[nodiscard]] QString caseLabel(const GridRow& row) const;
    [[nodiscard]] bool settable(meaning::Kind kind) const;

    JobSession& m_session;
    std::size_t m_group = 0;
    QString m_groupName;
    Filter m_filter = Filter::All;
    mutable std::map<std::size_t, std::pair<job::Verdict, bool>> m_told; ///< by member, what its head was told last: and whether of before an edit
    std::vector<GridRow> m_all, m_rows;
    std::vector<meaning::Box> m_symbols; ///< by quantity
    std::set<QString> m_folded;          ///< titles
    std::set<std::string> m_open;        ///< names
    QString m_path;                      ///< of the job whose texts were refused
    std::map<Key, Kept> m_refused;
    std::vector<QString> m_rewritten; ///< by quantity, as last shown; empty: none of them
};

} // namespace spanwright::models
