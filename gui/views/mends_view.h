// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <optional>

#include "gui/models/mend_list.h"

class QLabel;
class QListView;
class QPushButton;

namespace spanwright::views {

/// What would make a failing member pass, a change a line; one key puts the chosen change into the job. Hidden where there
/// is nothing to say.
class MendsView : public QWidget {
    Q_OBJECT

public:
    /// `rows`: as many are seen without scrolling.
    explicit MendsView(models::JobSession& session, QWidget* parent = nullptr, int rows = 6);
    void showMember(std::optional<std::size_t> member);
    [[nodiscard]] models::MendList& mends() { return *m_mends; }
    [[nodiscard]] QListView& list() { return *m_list; }
    [[nodiscard]] QString words() const;
    /// Puts the chosen change into the job.
    void putIntoJob();

Q_SIGNALS:
    /// What came of putting one into the job; nothing: done.
    void put(const spanwright::models::Outcome& outcome, const QString& change);

protected:
    void changeEvent(QEvent* event) override;

private:
    void refresh();
    models::MendList* m_mends;
    QLabel* m_words;
    QListView* m_list;
    QPushButton* m_put;
    int m_seen;
};

/// Lines of a list that are as high as its font wants, so that it need not be scrolled.
void fitRows(QListView& list, int most);

} // namespace spanwright::views
