// SPDX-License-Identifier: MIT
#include "engine/cli/run.h"

int main(int argc, char** argv) { return spanwright::cli::runProgram(argc, argv, nullptr); }
