#include "run_app.h"

int main(int argc, char** argv)
{
    return chockside::app::run_app(argc, argv);
}
