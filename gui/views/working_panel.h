// SPDX-License-Identifier: MIT
#pragma once

#include <QScrollArea>
#include <QTimer>
#include <QVBoxLayout>

#include <optional>
#include <vector>

#include "gui/models/history.h"
#include "gui/models/job_session.h"

class QLabel;
class QListWidget;
class QListWidgetItem;

namespace spanwright::views {

class FormulaView;
class NeighbourList;
class PlotView;
class StampLabel;

/// How one value came about: formula, values put in, result; source and what was read on the way; what it comes from
/// and what it feeds, each entry a way there.
class WorkingPanel : public QScrollArea {
    Q_OBJECT

public:
    explicit WorkingPanel(const models::JobSession& session, QWidget* parent = nullptr);
    void showCell(std::optional<models::CellId> cell, std::optional<std::size_t> caseIndex);
    /// One of the job's own values: what it is stated as, and the values of members that it feeds.
    struct JobValue {
        std::string name;
        QString value, what, source;
    };
    void showJobValue(JobValue value);
    /// Works out anew what is shown.
    void refresh();
    [[nodiscard]] NeighbourList& comesFrom() { return *m_comesFrom; }
    [[nodiscard]] NeighbourList& feeds() { return *m_feeds; }
    [[nodiscard]] QListWidget& remarks() { return *m_remarks; }
    /// Its index among the job's.
    [[nodiscard]] std::size_t remarkOf(const QListWidgetItem* item) const;
    [[nodiscard]] QString shownText() const;
    /// The curves that the value was taken from, drawn soon behind what is more pressing; at once with drawCurves().
    [[nodiscard]] const std::vector<PlotView*>& curves() const { return m_curves; }
    void drawCurves();
    /// A part of the working that somebody else fills: it stands below what the value is stated as and its curves.
    void addPart(QWidget* part) { m_parts->addWidget(part); }

Q_SIGNALS:
    void followed(const spanwright::models::Spot& spot);
    /// A remark was chosen, by its index among the job's.
    void remarkChosen(std::size_t index);

protected:
    void changeEvent(QEvent* event) override;

private:
    void fitFonts();
    void clear(const QString& words);
    void fill(NeighbourList& list, QLabel& title, std::vector<job::Working::Neighbour> neighbours, const QString& name);
    void fillRemarks();
    void refreshJobValue();
    [[nodiscard]] QLabel* label(bool small);
    const models::JobSession& m_session;
    std::optional<models::CellId> m_cell;
    std::optional<std::size_t> m_case;
    std::optional<JobValue> m_jobValue; ///< where no cell is shown
    QLabel *m_title, *m_what, *m_source, *m_details, *m_note, *m_reason, *m_tick, *m_comesFromTitle, *m_feedsTitle, *m_remarksTitle;
    StampLabel* m_stamp;
    FormulaView* m_formula;
    NeighbourList *m_comesFrom, *m_feeds;
    QListWidget* m_remarks;
    QVBoxLayout *m_curveColumn, *m_parts;
    std::vector<PlotView*> m_curves;
    QTimer m_soon;
};

} // namespace spanwright::views
