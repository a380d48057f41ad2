// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QWidget>

#include <atomic>
#include <memory>
#include <optional>
#include <thread>
#include <vector>

#include "engine/shop/workshop.h"
#include "gui/models/job_session.h"

class QLabel;
class QProgressBar;
class QPushButton;
class QTableWidget;
class QTabWidget;
class QVBoxLayout;

namespace spanwright::app {

/// What every member costs, as strokes of a pencil: as long as its share of the greatest.
class CostShares : public QWidget {
    Q_OBJECT

public:
    explicit CostShares(QWidget* parent = nullptr);
    void show(const shop::Bill& bill);
    [[nodiscard]] QSize sizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    struct Row {
        QString mark, amount;
        double share = 0, rest = 0; ///< of the greatest; the part of it that is offcuts and waste
    };
    std::vector<Row> m_rows;
};

/// What the workshop needs of a job: schedule with mass and cost, the boards as they are cut, who costs what. Worked out
/// on a thread of its own in a copy of the job as it stood when this was opened; stopped, it shows the best plan so far.
class WorkshopDialog : public QDialog {
    Q_OBJECT

public:
    WorkshopDialog(const models::JobSession& session, QWidget* parent);
    /// Stops and waits for the thread's end.
    ~WorkshopDialog() override;
    [[nodiscard]] const std::optional<shop::Workshop>& workshop() const { return m_workshop; }
    [[nodiscard]] QTableWidget& schedule() { return *m_schedule; }
    [[nodiscard]] int drawings() const { return m_drawn; }
    void stop() { m_state->givenUp = true; }

Q_SIGNALS:
    void done();

private:
    struct Result {
        bool made = false; ///< false: stopped before there was anything
        shop::Workshop workshop;
        std::vector<QString> sections, spans;
    };
    void take(std::shared_ptr<Result> result);
    void tell(const QString& group, qint64 boards);
    std::shared_ptr<models::LoadState> m_state = std::make_shared<models::LoadState>();
    std::optional<shop::Workshop> m_workshop;
    QLabel* m_words;
    QProgressBar* m_bar;
    QPushButton* m_stop;
    QTabWidget* m_tabs;
    QTableWidget* m_schedule;
    QVBoxLayout* m_boards;
    CostShares* m_shares;
    QLabel* m_total;
    int m_drawn = 0;
    std::thread m_thread;
};

} // namespace spanwright::app
