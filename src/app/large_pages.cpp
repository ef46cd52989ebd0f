// Arrays of a megabyte and more lie in large pages of memory (docs/decisions/0008-large-pages.md). This
// replaces the program's operator new: whoever asks for such an array need not know.
#include <malloc.h>
#include <sys/mman.h>

#include <cstdint>
#include <cstdlib>
#include <new>

// The sanitizers bring an operator new of their own, which must see every array.
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)

namespace {

constexpr std::size_t page_bytes = std::size_t{2} << 20, large_bytes = page_bytes / 2;

// Without this the library keeps what large arrays leave behind for later ones: half as much memory again at
// the peak of a reading.
[[maybe_unused]] const int each_by_itself = ::mallopt(M_MMAP_THRESHOLD, large_bytes);

// What smaller arrays leave behind is kept for the next, up to here: to give it back and ask again costs a
// fault for every 4 kB, in every iteration of a fit.
[[maybe_unused]] const int small_ones_stay = ::mallopt(M_TRIM_THRESHOLD, 16 << 20);

// Null when there is no room.
void* in_large_pages(std::size_t size) {
  if (size > SIZE_MAX - page_bytes) return nullptr;
  const std::size_t whole = (size + page_bytes - 1) / page_bytes * page_bytes;
  void* const array = std::aligned_alloc(page_bytes, whole);
  // A wish: where the system has none to give, the array lies in small pages as ever.
  if (array != nullptr) ::madvise(array, whole, MADV_HUGEPAGE);
  return array;
}

void* room_for(std::size_t size) {
  return size >= large_bytes ? in_large_pages(size) : std::malloc(size > 0 ? size : 1);
}

}  // namespace

void* operator new(std::size_t size) {
  while (true) {
    if (void* const found = room_for(size)) return found;
    const std::new_handler make_room = std::get_new_handler();
    if (make_room == nullptr) throw std::bad_alloc();
    make_room();
  }
}

void operator delete(void* array) noexcept {
  std::free(array);
}

void operator delete(void* array, std::size_t) noexcept {
  std::free(array);
}

#endif
