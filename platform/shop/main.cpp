// chockside-shop: the shop's receiver and page. One command, one folder.
#include <platform/shop/run.h>

int main(int argc, char** argv)
{
    return chockside::shop::run(argc, argv);
}
