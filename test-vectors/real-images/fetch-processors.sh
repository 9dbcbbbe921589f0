#!/usr/bin/env bash
# Fetches code of processors of which there is little open firmware, for the figures of packages/core/docs/processor.md:
# flight computers (Arm, without an operating system), the C libraries of Debian's cross compilers, and their C++
# libraries, which nothing was chosen by.
# usage: fetch-processors.sh FOLDER, then ASSAY_PROCESSOR_CORPUS=FOLDER for the tests. Nothing is installed.
set -u
out=${1:?expected a folder}
export ASSAY_CORPUS_PACKAGES="altos libc6-arm64-cross libc6-armhf-cross libc6-hppa-cross libc6-m68k-cross libc6-mips-cross
  libc6-powerpc-cross libc6-riscv64-cross libc6-s390x-cross libc6-sh4-cross libc6-sparc64-cross
  libstdc++6-alpha-cross libstdc++6-arm64-cross libstdc++6-armel-cross libstdc++6-armhf-cross libstdc++6-hppa-cross
  libstdc++6-i386-cross libstdc++6-m68k-cross libstdc++6-mips-cross libstdc++6-mipsel-cross libstdc++6-powerpc-cross
  libstdc++6-ppc64el-cross libstdc++6-riscv64-cross libstdc++6-s390x-cross libstdc++6-sh4-cross libstdc++6-sparc64-cross"
exec bash "$(dirname "$0")/fetch-corpus.sh" "$out"
