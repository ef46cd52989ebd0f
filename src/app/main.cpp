#include <cstdio>

int main() {
  std::puts("boxfettle " BOXFETTLE_VERSION);
  return 0;
}
