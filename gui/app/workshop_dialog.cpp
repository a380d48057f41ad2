// SPDX-License-Identifier: MIT
#include "gui/app/workshop_dialog.h"

#include <QHeaderView>
#include <QLabel>
#include <QPainter>
#include <QProgressBar>
#include <QPushButton>
#include <QScrollArea>
#include <QTabWidget>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>

#include "engine/report/shop_pages.h"
#include "engine/units/format.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"
#include "gui/views/drawing_view.h"

namespace spanwright::app {

using models::fromUtf8;

namespace {
/// Boards past these are in the printed plan.
constexpr int kMostDrawn = 60;
constexpr qint64 kSteps = 600'000'000;
} // namespace

CostShares::CostShares(QWidget* parent) : QWidget(parent) { setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed); }

void CostShares::show(const shop::Bill& bill) {
    m_rows.clear();
    shop::Cents most = 1;
    for (const shop::MemberCost& m : bill.members) most = std::max(most, m.cents);
    QStringList said;
    for (const shop::MemberCost& m : bill.members) {
        const QString amount = fromUtf8(shop::showMoney(m.cents, bill.currency));
        m_rows.push_back({tr("%1, %2 off").arg(fromUtf8(m.mark)).arg(m.count), amount, static_cast<double>(m.cents) / static_cast<double>(most),
                          static_cast<double>(m.rest) / static_cast<double>(most)});
        said << tr("%1: %2").arg(m_rows.back().mark, amount);
    }
    setAccessibleName(said.isEmpty() ? tr("No costs") : said.join(QStringLiteral("; ")));
    updateGeometry();
    update();
}

QSize CostShares::sizeHint() const { return {400, static_cast<int>(static_cast<double>(m_rows.size()) * fontMetrics().height() * 1.8) + 8}; }

void CostShares::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const ink::Palette& p = ink::paletteOf(palette());
    const int line = static_cast<int>(fontMetrics().height() * 1.8);
    int names = 0, amounts = 0;
    for (const Row& r : m_rows) {
        names = std::max(names, fontMetrics().horizontalAdvance(r.mark));
        amounts = std::max(amounts, fontMetrics().horizontalAdvance(r.amount));
    }
    const int left = names + 16, room = std::max(20, width() - left - amounts - 24);
    for (std::size_t i = 0; i < m_rows.size(); ++i) {
        const Row& r = m_rows[i];
        const int top = static_cast<int>(i) * line + 4;
        painter.setPen(p.pencil);
        painter.drawText(QRect(0, top, names, line), Qt::AlignLeft | Qt::AlignVCenter, r.mark);
        const QRectF bar(left, top + line * 0.25, std::max(1.0, room * r.share), line * 0.5);
        painter.drawRect(bar);
        // What is offcuts and waste is hatched.
        painter.setPen(Qt::NoPen);
        painter.setBrush(QBrush(p.pencil, Qt::BDiagPattern));
        painter.drawRect(QRectF(bar.right() - room * r.rest, bar.top(), room * r.rest, bar.height()));
        painter.setBrush(Qt::NoBrush);
        painter.setPen(p.pencil);
        painter.drawText(QRect(static_cast<int>(bar.right()) + 8, top, amounts + 8, line), Qt::AlignLeft | Qt::AlignVCenter, r.amount);
    }
}

WorkshopDialog::WorkshopDialog(const models::JobSession& session, QWidget* parent) : QDialog(parent) {
    setWindowTitle(tr("For the workshop"));
    resize(900, 640);
    auto* column = new QVBoxLayout(this);
    m_words = new QLabel(tr("Planning how the boards and panels are cut..."), this);
    m_words->setWordWrap(true);
    m_words->setTextFormat(Qt::PlainText);
    column->addWidget(m_words);
    auto* row = new QHBoxLayout;
    m_bar = new QProgressBar(this);
    m_bar->setRange(0, 0);
    m_bar->setTextVisible(false);
    m_bar->setAccessibleName(tr("The plan is being made"));
    row->addWidget(m_bar, 1);
    m_stop = new QPushButton(tr("&Stop with the best so far"), this);
    connect(m_stop, &QPushButton::clicked, this, [this] {
        stop();
        m_stop->setEnabled(false);
    });
    row->addWidget(m_stop);
    column->addLayout(row);
    m_tabs = new QTabWidget(this);
    m_schedule = new QTableWidget(0, 7, m_tabs);
    m_schedule->setHorizontalHeaderLabels({tr("Mark"), tr("How many"), tr("Section"), tr("Span"), tr("Mass of one"), tr("Mass of all"), tr("Cost of all")});
    m_schedule->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_schedule->verticalHeader()->hide();
    m_schedule->setTabKeyNavigation(false);
    m_schedule->setShowGrid(false);
    m_schedule->setAccessibleName(tr("Schedule of the members"));
    m_tabs->addTab(m_schedule, tr("Schedule"));
    const auto page = [this](const QString& title) {
        auto* scroll = new QScrollArea(m_tabs);
        scroll->setWidgetResizable(true);
        scroll->setFrameStyle(QFrame::NoFrame);
        scroll->setAccessibleName(title);
        auto* inside = new QWidget(scroll);
        auto* list = new QVBoxLayout(inside);
        scroll->setWidget(inside);
        m_tabs->addTab(scroll, title);
        return list;
    };
    m_boards = page(tr("Cutting"));
    QVBoxLayout* cost = page(tr("Who costs what"));
    m_total = new QLabel(m_tabs);
    m_total->setWordWrap(true);
    m_total->setTextFormat(Qt::PlainText);
    cost->addWidget(m_total);
    m_shares = new CostShares(m_tabs);
    cost->addWidget(m_shares);
    cost->addStretch(1);
    column->addWidget(m_tabs, 1);

    m_thread = std::thread([this, open = session.otherCopy(), state = m_state] {
        const models::JobCopy copy = open(state);
        shop::WorkshopOptions options;
        options.plan.effort.work = kSteps;
        options.plan.effort.cancelled = [state] { return state->givenUp.load(std::memory_order_relaxed); };
        options.plan.progress = [this](const std::string& group, std::int64_t boards) {
            QMetaObject::invokeMethod(
                this, [this, name = fromUtf8(group), boards] { tell(name, boards); }, Qt::QueuedConnection);
        };
        auto result = std::make_shared<Result>();
        // Given up while the copy was being opened, nothing in it is worth planning.
        if (!state->givenUp) {
            result->workshop = shop::work(*copy.job, options);
            result->made = true;
            for (const shop::Workshop::Row& r : result->workshop.schedule) {
                const job::MemberView& view = copy.job->member(r.index);
                result->sections.push_back(fromUtf8(view.sectionShown));
                result->spans.push_back(fromUtf8(view.spanShown));
            }
        }
        QMetaObject::invokeMethod(
            this, [this, result] { take(result); }, Qt::QueuedConnection);
    });
}

WorkshopDialog::~WorkshopDialog() {
    stop();
    m_thread.join();
}

void WorkshopDialog::tell(const QString& group, qint64 boards) { m_words->setText(tr("%1: %2 are cut by the best plan so far").arg(group).arg(boards)); }

void WorkshopDialog::take(std::shared_ptr<Result> result) {
    m_bar->hide();
    m_stop->hide();
    const bool stopped = m_state->givenUp;
    if (!result->made) {
        m_words->setText(tr("Stopped before there was a plan."));
        m_tabs->setEnabled(false);
        Q_EMIT done();
        return;
    }
    m_workshop = std::move(result->workshop);
    const shop::Workshop& w = *m_workshop;
    QStringList words;
    if (stopped) words << tr("Stopped: the best plan so far.");
    for (const shop::GroupPlan& g : w.plan.groups) words << QStringLiteral("%1: %2").arg(fromUtf8(shop::titleOf(g)), fromUtf8(g.words));
    if (!w.plan.whole) words << tr("NOT PROVEN: not every piece has its place.");
    for (const diag::Diagnostic& d : w.problems)
        if (d.severity == diag::Severity::Error) words << tr("error: %1").arg(fromUtf8(d.message));
    if (w.plan.groups.empty() && w.problems.empty()) words << tr("The job states no stock to cut its pieces from.");
    m_words->setText(words.join(QLatin1Char('\n')));

    m_schedule->setRowCount(static_cast<int>(w.schedule.size()));
    for (std::size_t i = 0; i < w.schedule.size(); ++i) {
        const shop::Workshop::Row& r = w.schedule[i];
        const auto cost = std::find_if(w.bill.members.begin(), w.bill.members.end(), [&](const shop::MemberCost& m) { return m.index == r.index; });
        const double count = cost != w.bill.members.end() ? static_cast<double>(cost->count) : 1.0;
        const auto mass = [](double kg) { return QStringLiteral("%1 kg").arg(fromUtf8(units::showNumber(kg, units::Unit{}, {3, {}, {}}))); };
        // A notch or a bearing has no piece of its own: that is another thing than a piece of unknown mass.
        const auto built = std::find_if(w.parts.members.begin(), w.parts.members.end(), [&](const shop::BuiltMember& m) { return m.index == r.index; });
        const bool nothing = built != w.parts.members.end() && !built->cut && built->whole;
        const QString unknown = nothing ? tr("nothing to cut") : tr("not known");
        QString money = r.cents ? fromUtf8(shop::showMoney(*r.cents, w.bill.currency)) : nothing ? QStringLiteral("-") : tr("not stated");
        // An amount that is not proven is never shown as if it were.
        if (r.cents && !r.proven) money = tr("%1, not proven").arg(money);
        const QStringList cells{fromUtf8(r.mark) + (r.insteadOf.empty() ? QString() : tr(" (in place of %1)").arg(fromUtf8(r.insteadOf))),
                                cost != w.bill.members.end() ? QString::number(cost->count) : QStringLiteral("-"),
                                result->sections[i],
                                result->spans[i],
                                r.mass ? mass(*r.mass) : unknown,
                                r.mass && cost != w.bill.members.end() ? mass(*r.mass * count)
                                : nothing                              ? QStringLiteral("-")
                                                                       : tr("not known"),
                                money};
        for (int c = 0; c < cells.size(); ++c) m_schedule->setItem(static_cast<int>(i), c, new QTableWidgetItem(cells[c]));
    }
    m_schedule->resizeColumnsToContents();

    for (const shop::GroupPlan& g : w.plan.groups) {
        for (const shop::CutBoard& b : g.boards) {
            if (m_drawn == kMostDrawn) {
                m_boards->addWidget(new QLabel(tr("The rest stands in the printed plan."), this));
                break;
            }
            auto* view = new views::DrawingView(this);
            view->setDrawing(report::cutDrawing(w, g, b), tr("%1, number %2").arg(fromUtf8(shop::titleOf(g)), fromUtf8(report::boardNumbers(b))));
            m_boards->addWidget(view);
            ++m_drawn;
        }
        if (m_drawn == kMostDrawn) break;
    }
    m_boards->addStretch(1);
    QStringList total{tr("In all: %1%2").arg(fromUtf8(shop::showMoney(w.bill.total, w.bill.currency)), w.bill.proven ? QString() : tr(", NOT PROVEN"))};
    for (const std::string& why : w.bill.reasons) total << fromUtf8(why);
    for (const std::string& left : w.bill.notCounted) total << tr("not counted: %1").arg(fromUtf8(left));
    m_total->setText(total.join(QLatin1Char('\n')));
    m_shares->show(w.bill);
    Q_EMIT done();
}

} // namespace spanwright::app
