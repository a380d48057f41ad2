// SPDX-License-Identifier: MIT
#include "gui/app/print_dialog.h"

#include <QApplication>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QFileDialog>
#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QMessageBox>
#include <QPainter>
#include <QPrintDialog>
#include <QPrinter>
#include <QProgressBar>
#include <QPushButton>
#include <QScreen>
#include <QThread>
#include <QVBoxLayout>

#include <algorithm>
#include <utility>

#include "engine/io/files.h"
#include "gui/app/paper_view.h"
#include "gui/models/text.h"
#include "gui/paper/pdf_writer.h"

namespace spanwright::app {

using models::fromUtf8;
using report::PaperWriter;

PrintDialog::PrintDialog(report::JobFacts facts, std::optional<std::size_t> member, const QString& proposed, QWidget* parent)
    : QDialog(parent), m_facts(std::move(facts)), m_proposed(proposed), m_members(new QListWidget(this)), m_form(new QComboBox(this)),
      m_size(new QComboBox(this)), m_count(new QLabel(this)), m_view(new PaperView(this)) {
    setWindowTitle(tr("The calculation on paper"));
    const auto named = [this](const QString& words, QWidget* of) {
        auto* label = new QLabel(words, this);
        label->setBuddy(of);
        return label;
    };
    auto* side = new QVBoxLayout;
    side->addWidget(named(tr("&Members"), m_members));
    m_members->setAccessibleName(tr("Members to print"));
    m_members->setWordWrap(true);
    m_members->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    for (std::size_t i = 0; i < m_facts.members.size(); ++i) {
        const job::MemberView& m = m_facts.members[i].view;
        auto* item = new QListWidgetItem(m.purpose.empty() ? fromUtf8(m.mark) : tr("%1, %2").arg(fromUtf8(m.mark), fromUtf8(m.purpose)), m_members);
        item->setFlags(Qt::ItemIsUserCheckable | Qt::ItemIsEnabled | Qt::ItemIsSelectable);
        item->setCheckState(!member || *member == i ? Qt::Checked : Qt::Unchecked);
        item->setToolTip(item->text());
    }
    side->addWidget(m_members, 1);
    auto* pick = new QHBoxLayout;
    for (const bool all : {true, false}) {
        auto* button = new QPushButton(all ? tr("&All") : tr("&None"), this);
        button->setAutoDefault(false);
        connect(button, &QPushButton::clicked, this, [this, all] { choose(all); });
        pick->addWidget(button);
    }
    pick->addStretch(1);
    side->addLayout(pick);
    m_form->addItem(tr("Whole calculation"));
    m_form->addItem(tr("In brief: stated values, checks, sketches"));
    m_form->setAccessibleName(tr("How much of each member"));
    m_form->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    side->addWidget(named(tr("&How much"), m_form));
    side->addWidget(m_form);
    m_size->addItem(tr("A4"), static_cast<int>(PaperWriter::Size::A4));
    m_size->addItem(tr("Letter"), static_cast<int>(PaperWriter::Size::Letter));
    m_size->setAccessibleName(tr("Size of the paper"));
    if (QLocale().measurementSystem() == QLocale::ImperialUSSystem) m_size->setCurrentIndex(1);
    side->addWidget(named(tr("&Paper"), m_size));
    side->addWidget(m_size);
    side->addWidget(m_count);
    m_planWords = new QLabel(this);
    m_planWords->setWordWrap(true);
    m_planWords->setTextFormat(Qt::PlainText);
    side->addWidget(m_planWords);
    auto* planning = new QHBoxLayout;
    m_bar = new QProgressBar(this);
    m_bar->setRange(0, 0);
    m_bar->setTextVisible(false);
    m_bar->setAccessibleName(tr("The cutting plan is being made"));
    planning->addWidget(m_bar, 1);
    m_stop = new QPushButton(tr("S&top with the best so far"), this);
    m_stop->setAutoDefault(false);
    connect(m_stop, &QPushButton::clicked, this, [this] {
        if (m_planning) m_planning->stop = true;
        m_stop->setEnabled(false);
    });
    planning->addWidget(m_stop);
    side->addLayout(planning);
    for (QWidget* w : {static_cast<QWidget*>(m_planWords), static_cast<QWidget*>(m_bar), static_cast<QWidget*>(m_stop)}) w->hide();

    auto* box = new QDialogButtonBox(QDialogButtonBox::Close, this);
    m_save = box->addButton(tr("&Save as PDF..."), QDialogButtonBox::ActionRole);
    m_print = box->addButton(tr("P&rint..."), QDialogButtonBox::ActionRole);
    for (QPushButton* b : {m_save, m_print}) b->setAutoDefault(false);
    connect(m_save, &QPushButton::clicked, this, &PrintDialog::askAndSave);
    connect(m_print, &QPushButton::clicked, this, &PrintDialog::print);
    connect(box, &QDialogButtonBox::rejected, this, &QDialog::reject);

    auto* middle = new QHBoxLayout;
    middle->addLayout(side, 2);
    middle->addWidget(m_view, 5);
    auto* column = new QVBoxLayout(this);
    column->addLayout(middle, 1);
    column->addWidget(box);

    m_soon.setSingleShot(true);
    m_soon.setInterval(120);
    connect(&m_soon, &QTimer::timeout, this, &PrintDialog::set);
    const auto later = [this] { m_soon.start(); };
    connect(m_members, &QListWidget::itemChanged, this, later);
    connect(m_form, &QComboBox::currentIndexChanged, this, later);
    connect(m_size, &QComboBox::currentIndexChanged, this, later);
    connect(m_view, &PaperView::pageChanged, this, [this](int page) {
        if (m_view->book()) m_count->setText(tr("page %1 of %2").arg(page).arg(m_view->book()->pageCount()));
    });
    const QSize room = screen() != nullptr ? screen()->availableSize() : QSize(1280, 720);
    resize(std::min(room.width() - 80, fontMetrics().averageCharWidth() * 150), std::min(room.height() - 80, fontMetrics().height() * 50));
    set();
    m_view->setFocus();
}

PrintDialog::~PrintDialog() {
    if (m_planning) m_planning->stop = true;
    if (m_planner.joinable()) m_planner.join();
    if (m_setting) m_setting->wait();
}

void PrintDialog::setWorkshop(Plan work) {
    m_work = std::move(work);
    if (isWhole()) m_soon.start();
}

bool PrintDialog::isWhole() const { return m_form->currentIndex() == 0 && scope().members.empty(); }

void PrintDialog::startPlanning() {
    m_planning = std::make_shared<Planning>();
    m_planning->tell = [this](const QString& group, qint64 boards) {
        QMetaObject::invokeMethod(
            this,
            [this, group, boards] {
                if (isPlanning()) m_planWords->setText(tr("Planning the workshop's pages. %1: %2 are cut by the best plan so far").arg(group).arg(boards));
            },
            Qt::QueuedConnection);
    };
    m_planWords->setText(tr("Planning the workshop's pages..."));
    m_stop->setEnabled(true);
    m_planner = std::thread([this, work = std::exchange(m_work, nullptr), planning = m_planning] {
        m_planned = work(planning);
        QMetaObject::invokeMethod(
            this,
            [this] {
                if (isPlanning()) endPlanning();
            },
            Qt::QueuedConnection);
    });
}

void PrintDialog::endPlanning() {
    m_planner.join();
    m_shop = std::move(m_planned);
    m_planning.reset();
    showState();
    if (isWhole()) m_soon.start();
}

void PrintDialog::showState() {
    const bool waits = isPlanning() && isWhole();
    for (QWidget* w : {static_cast<QWidget*>(m_planWords), static_cast<QWidget*>(m_bar), static_cast<QWidget*>(m_stop)}) w->setVisible(waits);
    bool any = m_members->count() == 0;
    for (int i = 0; i < m_members->count(); ++i) any = any || m_members->item(i)->checkState() == Qt::Checked;
    // What is written is whole, or it is not written.
    m_save->setEnabled(any && !waits);
    m_print->setEnabled(any && !waits);
}

void PrintDialog::choose(bool all) {
    const QSignalBlocker quiet(m_members);
    for (int i = 0; i < m_members->count(); ++i) m_members->item(i)->setCheckState(all ? Qt::Checked : Qt::Unchecked);
    m_soon.start();
}

report::ReportScope PrintDialog::scope() const {
    report::ReportScope out;
    out.brief = m_form->currentIndex() == 1;
    for (int i = 0; i < m_members->count(); ++i)
        if (m_members->item(i)->checkState() == Qt::Checked) out.members.push_back(static_cast<std::size_t>(i));
    // All is no choice, and the cover then speaks of no part.
    if (out.members.size() == m_facts.members.size()) out.members.clear();
    return out;
}

paper::PageFormat PrintDialog::format() const {
    paper::PageFormat out;
    out.size = static_cast<PaperWriter::Size>(m_size->currentData().toInt());
    return out;
}

void PrintDialog::set() {
    if (m_setting) {
        // One after the other; the last choice is what counts.
        m_soon.start();
        return;
    }
    const report::ReportScope chosen = scope();
    const bool whole = isWhole();
    if (whole && m_work) startPlanning();
    showState();
    bool any = m_members->count() == 0;
    for (int i = 0; i < m_members->count(); ++i) any = any || m_members->item(i)->checkState() == Qt::Checked;
    if (!any) {
        m_set.reset();
        m_view->setBook(nullptr);
        m_count->setText(tr("no member is chosen"));
        return;
    }
    m_facts.shop = whole ? m_shop : nullptr;
    m_count->setText(tr("setting the pages..."));
    // Until it is over nobody else touches the facts.
    m_setting.reset(
        QThread::create([this, chosen, form = format()] { m_set = std::make_shared<const paper::PageBook>(report::reportDocument(m_facts, chosen), form); }));
    connect(m_setting.get(), &QThread::finished, this, &PrintDialog::take);
    m_setting->start();
}

void PrintDialog::take() {
    if (!m_setting || !m_setting->wait()) return;
    m_setting.reset();
    m_view->setBook(m_set);
    if (m_set) m_count->setText(tr("page %1 of %2").arg(m_view->page()).arg(m_set->pageCount()));
}

std::shared_ptr<const paper::PageBook> PrintDialog::book() {
    if (m_setting) take();
    // It may be only now that the whole is chosen.
    if (isWhole() && m_work) startPlanning();
    if (isWhole() && isPlanning()) endPlanning();
    if (m_soon.isActive()) {
        m_soon.stop();
        set();
        if (m_setting) take();
    }
    return m_set;
}

bool PrintDialog::savePdf(const QString& path) {
    const auto pages = book();
    if (!pages) return false;
    QApplication::setOverrideCursor(Qt::WaitCursor);
    const std::string bytes = paper::writePdf(*pages);
    QApplication::restoreOverrideCursor();
    io::Disk disk;
    const auto written = disk.write(models::toUtf8(path), bytes);
    if (written.ok()) return true;
    QMessageBox::warning(this, tr("Not written"), tr("%1 could not be written: %2").arg(path, fromUtf8(written.error().message)));
    return false;
}

void PrintDialog::askAndSave() {
    const QString path = QFileDialog::getSaveFileName(this, tr("Save as PDF"), m_proposed, tr("PDF (*.pdf)"));
    if (!path.isEmpty() && savePdf(path)) m_count->setText(tr("written to %1").arg(path));
}

void PrintDialog::print() {
    const auto pages = book();
    if (!pages) return;
    QPrinter printer(QPrinter::HighResolution);
    printer.setFullPage(true);
    printer.setPageSize(QPageSize(pages->format().size == PaperWriter::Size::A4 ? QPageSize::A4 : QPageSize::Letter));
    QPrintDialog ask(&printer, this);
    ask.setMinMax(1, pages->pageCount());
    ask.setFromTo(1, pages->pageCount());
    if (ask.exec() != QDialog::Accepted) return;
    const bool some = ask.printRange() == QAbstractPrintDialog::PageRange;
    const int first = some ? std::max(1, ask.fromPage()) : 1, last = some ? std::min(pages->pageCount(), ask.toPage()) : pages->pageCount();
    QPainter painter;
    if (!painter.begin(&printer)) {
        QMessageBox::warning(this, tr("Not printed"), tr("The printer could not be started."));
        return;
    }
    const qreal scale = printer.resolution() / (72 * paper::kPerPoint);
    for (int page = first; page <= last; ++page) {
        if (page > first && !printer.newPage()) break;
        painter.save();
        painter.scale(scale, scale);
        pages->paint(painter, page - 1);
        painter.restore();
    }
}

} // namespace spanwright::app
