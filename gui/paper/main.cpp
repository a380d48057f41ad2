// SPDX-License-Identifier: MIT
#include "engine/cli/run.h"
#include "gui/paper/pdf_writer.h"

int main(int argc, char** argv) {
    const spanwright::paper::PdfWriter paper;
    return spanwright::cli::runProgram(argc, argv, &paper);
}
