#pragma once
// Points at which a build of the fault rigs goes wrong on purpose (tests/rigs/planted.h is put before everything else there), as a rig
// must prove that it can fail. Here, and so in everything that leaves the house, they are the constant false.

#ifndef PLANTED
#define PLANTED(bug) false
#endif
